import type { AlarmPriority } from '../alarms/alarm.ts';
import type { LiveAlarm } from './live.ts';

/**
 * What a horn or a stack light at the rig is told, retained, QoS 1, on `potside/<site>/beacon`. It holds for `validForS` from `at`:
 * after that the light shows *unknown* by itself, so a dead server or a lost link never leaves *clear* standing.
 */
export interface BeaconMessage {
  readonly state: 'clear' | AlarmPriority | 'unknown';
  /** Alarms that nobody has taken; of CO and loss of air those that nobody *at the rig* has: the office does not silence the rig. */
  readonly unacknowledged: number;
  /** Since when the state is what it is, RFC 3339; null where that is not known. */
  readonly since: string | null;
  readonly at: string;
  readonly validForS: number;
  /** There only on a training site: a drill, nothing is happening. */
  readonly drill?: true;
}

export function beaconTopic(site: string): string {
  return `potside/${site}/beacon`;
}

/** The only client that may publish on a site's beacon. */
export function beaconClientId(site: string): string {
  return `potside-beacon-${site}`;
}

const RANK: readonly AlarmPriority[] = ['critical', 'high', 'medium', 'low'];
const SET_ASIDE = ['shelved', 'suppressed-by-design', 'out-of-service'];

/** State and count from the alarms of a site; what was set aside does not light anything. */
export function beaconOf(alarms: readonly LiveAlarm[]): Pick<BeaconMessage, 'state' | 'unacknowledged'> {
  const standing = alarms.filter((alarm) => !SET_ASIDE.includes(alarm.state));
  const state = RANK.find((priority) => standing.some((alarm) => alarm.priority === priority)) ?? 'clear';
  const isOpen = (alarm: LiveAlarm): boolean => alarm.state.endsWith('unacknowledged') || (alarm.sound === 'air' && !alarm.silencedAtRig);
  return { state, unacknowledged: standing.filter(isOpen).length };
}
