import { PRIORITIES } from '../../../domain/alarms/alarm.ts';
import type { LiveAlarm } from '../../../domain/wire/live.ts';
import { isStanding, isUnacknowledged } from './alarm-state.ts';

/** Standing alarms as the strip shows them: nobody has it first, then the most urgent, then the newest. Ties by id, so that nothing swaps places. */
export function orderAlarms(alarms: readonly LiveAlarm[]): readonly LiveAlarm[] {
  return alarms
    .filter((alarm) => isStanding(alarm.state))
    .sort(
      (a, b) =>
        Number(isUnacknowledged(b.state)) - Number(isUnacknowledged(a.state)) ||
        PRIORITIES.indexOf(a.priority) - PRIORITIES.indexOf(b.priority) ||
        b.raisedAtMs - a.raisedAtMs ||
        a.id.localeCompare(b.id),
    );
}
