import type { AlarmState } from '../../../domain/alarms/alarm.ts';

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

/** Belongs in the strip. Shelved, suppressed and out of service have places of their own. */
export function isStanding(state: AlarmState): boolean {
  return isCausePresent(state) || isUnacknowledged(state) || isLatched(state);
}
