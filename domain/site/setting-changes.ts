import type { SiteConfig } from '../shift/site-config.ts';
import type { SiteAlarm } from './site-alarm.ts';
import type { AlarmTransition, Effects, SettingChange } from './site-effects.ts';

type Value = string | number | boolean;

/** What of the alarm settings a new configuration changes, by name; at the first one, what differs from the shipped table. */
export function settingChanges(before: SiteConfig | null, after: SiteConfig): SettingChange[] {
  const [old, now] = [flat(before), flat(after)];
  const names = [...new Set([...old.keys(), ...now.keys()])].sort();
  return names.filter((name) => old.get(name) !== now.get(name)).map((setting) => ({ setting, old: old.get(setting) ?? null, new: now.get(setting) ?? null }));
}

function flat(config: SiteConfig | null): Map<string, Value> {
  if (!config) return new Map();
  const settings = new Map<string, Value>([['regime', config.regime ?? 'US']]);
  for (const [name, value] of Object.entries(config.flood ?? {})) settings.set(`flood ${name}`, value as number);
  for (const [alarm, change] of Object.entries(config.alarms)) for (const [name, value] of Object.entries(change)) settings.set(`${alarm} ${name}`, value as Value);
  return settings;
}

/** The last move of standing alarms whose rule a new configuration no longer has. */
export function closedByConfiguration(gone: readonly SiteAlarm[], effects: Effects & { readonly seq: number }, atMs: number): AlarmTransition[] {
  return gone.flatMap(({ bound, track: { occurrence } }, index): AlarmTransition[] => {
    if (!occurrence) return [];
    const { key, rule, owner, point, unit } = bound;
    const closed = { ...occurrence, state: 'normal' as const, clearedAtMs: occurrence.clearedAtMs ?? atMs };
    return [{ seq: effects.seq, n: effects.transitions.length + index, atMs, key, rule, owner, point, unit, what: 'closed', from: occurrence.state, occurrence: closed, by: 'configuration' }];
  });
}
