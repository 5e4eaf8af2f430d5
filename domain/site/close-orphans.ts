import type { EffectsCollector } from './site-effects.ts';
import type { SiteAlarm } from './site-alarm.ts';

/** Alarms that stood under rules or owners which a new configuration no longer has: closed, and said so. */
export function closeOrphans(standing: readonly SiteAlarm[], isKept: (key: string) => boolean, atMs: number, effects: EffectsCollector): void {
  for (const { bound, track } of standing) {
    if (isKept(bound.key) || !track.occurrence) continue;
    const { key, rule, owner, point, unit } = bound;
    const occurrence = { ...track.occurrence, state: 'normal' as const, clearedAtMs: track.occurrence.clearedAtMs ?? atMs };
    effects.transitions.push({ seq: effects.seq, n: effects.transitions.length, atMs, key, rule, owner, point, unit, what: 'closed', from: track.occurrence.state, occurrence, by: 'configuration' });
  }
}
