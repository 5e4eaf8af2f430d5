import type { SiteAlarm } from './site-alarm.ts';
import type { SiteAlarms } from './site-alarms.ts';
import type { EffectsCollector } from './site-effects.ts';

/** Closes the alarms that stood under the configuration before and have no rule under this one. */
export function closeGone(standing: readonly SiteAlarm[], alarms: SiteAlarms, atMs: number, effects: EffectsCollector): void {
  for (const { bound, track } of standing) {
    if (alarms.find(bound.key) || !track.occurrence) continue;
    const { key, rule, owner, point, unit } = bound;
    const occurrence = { ...track.occurrence, state: 'normal' as const, clearedAtMs: track.occurrence.clearedAtMs ?? atMs };
    effects.transitions.push({ seq: effects.seq, n: effects.transitions.length, atMs, key, rule, owner, point, unit, what: 'closed', from: track.occurrence.state, occurrence, by: 'configuration' });
  }
}
