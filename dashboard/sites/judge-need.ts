import { findPointKind } from '../../domain/points/catalogue.ts';
import type { LiveAlarm, LivePoint, LiveSite } from '../../domain/wire/live.ts';
import { asksForSomebody } from '../alarms/alarm-state.ts';
import { compareAlarms, orderAlarms } from '../alarms/order-alarms.ts';
import { GATEWAY_DEAD_MS } from '../link/link-state.ts';
import { ownersOf } from '../link/site-facts.ts';

/** Whether what is shown of a site is of now. `never-heard`: no gateway has ever told anything of it. */
export type SiteLife = 'live' | 'not-live' | 'not-recording' | 'never-heard';

/** A site as somebody who looks after many needs it. */
export interface SiteNeed {
  readonly site: LiveSite;
  readonly life: SiteLife;
  /** Since the last sign of its gateway, ms; null where there was none. */
  readonly silentMs: number | null;
  /** Standing alarms, the one that is read first in front. */
  readonly alarms: readonly LiveAlarm[];
  readonly underHood: number;
  /** Place in the order of need, from 0; QUIET and above need nobody. */
  readonly rank: number;
}

export const QUIET = 6;

/** Newest sign of each site's gateway, Unix ms: its own, or any measured reading that came through it. */
export function heardAtMs(sites: readonly LiveSite[], points: Iterable<LivePoint>): Map<string, number> {
  const heard = new Map(sites.flatMap(({ id, gatewayAtMs }) => (gatewayAtMs === null ? [] : [[id, gatewayAtMs] as const])));
  // Rigs have names of their own in one installation; compressors and the rest go by what the first site calls them.
  const siteOf = new Map<string, string>();
  for (const site of sites) for (const owner of ownersOf(site)) if (!siteOf.has(owner)) siteOf.set(owner, site.id);
  for (const { owner, id, atMs } of points) {
    const site = siteOf.get(owner);
    if (site === undefined || atMs === null || findPointKind(id)?.origin !== 'measured') continue;
    if (atMs > (heard.get(site) ?? 0)) heard.set(site, atMs);
  }
  return heard;
}

/** All sites, the one that needs somebody most in front; ties by name, so that nothing swaps places. `nowMs`: server time. */
export function orderSites(sites: readonly LiveSite[], alarms: readonly LiveAlarm[], heard: ReadonlyMap<string, number>, nowMs: number): SiteNeed[] {
  const bySite = new Map<string, LiveAlarm[]>();
  for (const alarm of alarms) bySite.set(alarm.site, [...(bySite.get(alarm.site) ?? []), alarm]);
  const needs = sites.map((site): SiteNeed => {
    const standing = orderAlarms(bySite.get(site.id) ?? []);
    const at = heard.get(site.id);
    const silentMs = at === undefined ? null : Math.max(0, nowMs - at);
    const life = lifeOf(site, silentMs);
    return { site, life, silentMs, alarms: standing, underHood: site.rigs.reduce((sum, rig) => sum + rig.underHood.length, 0), rank: rankOf(standing, life) };
  });
  return needs.sort((a, b) => a.rank - b.rank || compareFirst(a.alarms[0], b.alarms[0]) || b.underHood - a.underHood || a.site.name.localeCompare(b.site.name) || a.site.id.localeCompare(b.site.id));
}

function lifeOf(site: LiveSite, silentMs: number | null): SiteLife {
  if (!site.recording) return 'not-recording';
  if (silentMs === null) return 'never-heard';
  return silentMs > GATEWAY_DEAD_MS ? 'not-live' : 'live';
}

/** A critical alarm that nobody has; then sites of which nothing is known; then the other alarms that nobody has; then what somebody has. */
function rankOf([first]: readonly LiveAlarm[], life: SiteLife): number {
  const calls = first !== undefined && asksForSomebody(first);
  if (calls && first.priority === 'critical') return 0;
  if (life === 'not-live' || life === 'not-recording') return 1;
  if (calls && first.priority === 'high') return 2;
  if (first?.priority === 'critical') return 3;
  if (calls) return 4;
  if (first) return 5;
  return life === 'never-heard' ? QUIET + 1 : QUIET;
}

function compareFirst(a: LiveAlarm | undefined, b: LiveAlarm | undefined): number {
  return a && b ? compareAlarms(a, b) : Number(b !== undefined) - Number(a !== undefined);
}
