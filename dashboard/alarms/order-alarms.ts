import { PRIORITIES } from '../../domain/alarms/alarm.ts';
import type { LiveAlarm } from '../../domain/wire/live.ts';
import { asksForSomebody, isStanding } from './alarm-state.ts';

/** What asks for somebody first, then the most urgent, among these CO and loss of air, then the newest. Ties by id, so that nothing swaps places. */
export function compareAlarms(a: LiveAlarm, b: LiveAlarm): number {
  return (
    Number(asksForSomebody(b)) - Number(asksForSomebody(a)) ||
    PRIORITIES.indexOf(a.priority) - PRIORITIES.indexOf(b.priority) ||
    Number(b.alwaysShown) - Number(a.alwaysShown) ||
    b.raisedAtMs - a.raisedAtMs ||
    a.id.localeCompare(b.id)
  );
}

/** Standing alarms in the order in which they are read. */
export function orderAlarms(alarms: readonly LiveAlarm[]): readonly LiveAlarm[] {
  return alarms.filter((alarm) => isStanding(alarm.state)).sort(compareAlarms);
}
