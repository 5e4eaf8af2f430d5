import type { LiveAlarm, LiveSetAside } from '../../../domain/wire/live.ts';

/** The person's word that holds an alarm back now, if it was a person's. */
export function asideWord(alarm: LiveAlarm): LiveSetAside | null {
  if (alarm.state === 'out-of-service') return alarm.outOfService;
  return alarm.state === 'shelved' ? alarm.shelved : null;
}

/** When it comes back by itself; never, as far as anyone knows, where the design holds it back. */
export function asideUntil(alarm: LiveAlarm): number {
  return asideWord(alarm)?.untilMs ?? Infinity;
}
