import type { Action, LogEntry } from '../../domain/site/log.ts';
import type { Effects } from '../../domain/site/site-effects.ts';
import type { Deed } from './audit-trail.ts';

/** What one entry of a site's log puts into the audit trail: actions of people, changed settings, clock jumps. */
export function deedsOf(site: string, entry: LogEntry, effects: Effects): Deed[] {
  const server = { atMs: entry.atMs, by: (entry.kind === 'config' && entry.by) || 'potside', role: 'system', address: 'server', site };
  if (entry.kind === 'clock') return [{ ...server, what: 'clock-jumped', subject: site, new: { jumpMs: entry.jumpMs } }];
  if (entry.kind === 'config') {
    const changes = effects.settings.map(({ setting, old, new: now }): Deed => ({ ...server, what: 'setting-changed', subject: setting, old, new: now }));
    return [{ ...server, what: 'configuration-in-force', subject: site, new: { version: entry.version } }, ...changes];
  }
  return entry.kind === 'action' ? [deedOf(site, entry.atMs, entry.action, effects)] : [];
}

function deedOf(site: string, atMs: number, action: Action, effects: Effects): Deed {
  const { key: _key, by, role, from, kind, ...said } = action;
  const rest = said as Readonly<Record<string, string | number | boolean | null | undefined>>;
  const why = [rest['reason'], rest['text']].filter((part) => typeof part === 'string' && part !== '').join(': ');
  return {
    atMs,
    by,
    role,
    address: from,
    what: effects.refusal === null ? kind : `${kind}-refused`,
    site,
    subject: String(rest['alarm'] ?? rest['rig'] ?? rest['shift'] ?? effects.shift?.rig ?? site),
    old: effects.refusal,
    new: said,
    why: why === '' ? null : why,
  };
}
