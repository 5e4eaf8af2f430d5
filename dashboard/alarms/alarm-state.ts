import type { AlarmState } from '../../domain/alarms/alarm.ts';
import type { LiveAlarm } from '../../domain/wire/live.ts';

/** The condition itself holds now, whoever knows of it. */
export function isCausePresent(state: AlarmState): boolean {
  return state === 'unacknowledged' || state === 'acknowledged';
}

/** Somebody still has to say *I have it*. */
export function isUnacknowledged(state: AlarmState): boolean {
  return state === 'unacknowledged' || state === 'returned-to-normal-unacknowledged' || state === 'latched-unacknowledged';
}

/** Stays until a person resets it. */
export function isLatched(state: AlarmState): boolean {
  return state === 'latched-unacknowledged' || state === 'latched-acknowledged';
}

/** Belongs in the strip and the list. Shelved, suppressed and out of service have places of their own. */
export function isStanding(state: AlarmState): boolean {
  return isCausePresent(state) || isUnacknowledged(state) || isLatched(state);
}

/** Set aside by a person or by design. */
export function isAside(state: AlarmState): boolean {
  return state === 'shelved' || state === 'suppressed-by-design' || state === 'out-of-service';
}

/** Taken, but nobody has said yet that the blaster is out. */
export function isOutAwaited(alarm: Pick<LiveAlarm, 'state' | 'out'>): boolean {
  return alarm.out === 'awaited' && isStanding(alarm.state) && !isUnacknowledged(alarm.state);
}

/** Asks a person for a word: *I have it*, or after that *blaster out*. */
export function asksForSomebody(alarm: Pick<LiveAlarm, 'state' | 'out'>): boolean {
  return isUnacknowledged(alarm.state) || isOutAwaited(alarm);
}
