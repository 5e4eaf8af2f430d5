import type { LiveAlarm } from '../../domain/wire/live.ts';
import type { SoundCause } from './next-sound.ts';

/** What has come back to normal by itself still flashes, but no longer calls; what is latched does both. */
export function soundCauses(alarms: readonly LiveAlarm[], isDeaf: boolean): readonly SoundCause[] {
  const causes = alarms.flatMap((alarm): SoundCause[] =>
    alarm.sound !== 'none' && (alarm.state === 'unacknowledged' || alarm.state === 'latched-unacknowledged')
      ? [{ key: `${alarm.id}@${alarm.raisedAtMs}`, pattern: alarm.sound, priority: alarm.priority }]
      : [],
  );
  // A page that no longer hears the server could not call anybody: that is worth a call itself.
  return isDeaf ? [...causes, { key: 'link', pattern: 'other', priority: 'high' }] : causes;
}
