import type { LiveAlarm } from '../../domain/wire/live.ts';
import type { AlarmOrderKind } from '../api/alarm-orders.ts';
import { type Role, mayAcknowledge, mayConfirmOut, mayReset } from '../api/session.ts';
import { isLatched, isOutAwaited, isUnacknowledged } from './alarm-state.ts';

export type NextWord = Extract<AlarmOrderKind, 'acknowledge' | 'confirm-out' | 'reset'>;

/** The one word that comes next for an alarm; null where none does, or this role may not say it. */
export function nextWord(alarm: Pick<LiveAlarm, 'state' | 'out'>, role: Role): NextWord | null {
  if (isUnacknowledged(alarm.state)) return mayAcknowledge(role) ? 'acknowledge' : null;
  if (isOutAwaited(alarm)) return mayConfirmOut(role) ? 'confirm-out' : null;
  return isLatched(alarm.state) && mayReset(role) ? 'reset' : null;
}
