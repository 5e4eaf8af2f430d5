import { LIVE_PROTOCOL, type LiveAlarm, type LivePoint, type LiveSite } from '../../domain/wire/live.ts';
import type { Session } from '../api/session.ts';
import { LINK_DEAD_MS } from '../link/link-state.ts';
import type { LinkFeed } from '../link/live-link.ts';
import { serverTimeMs } from '../link/server-clock.ts';
import { pointKey } from '../../domain/points/reading.ts';
import type { LiveState } from './live-state.ts';
import type { Keep } from './preferences.ts';

/** What was last shown, for a page that is opened while its server is out of reach. */
export interface KeptState {
  readonly protocol: number;
  readonly session: Session;
  /** The device's own clock at the last frame, Unix ms: the only one that goes on without the server. */
  readonly keptAtMs: number;
  /** Server time of the last frame. */
  readonly serverAtMs: number;
  readonly boot: string;
  readonly revision: number;
  readonly sites: readonly LiveSite[];
  readonly points: readonly LivePoint[];
  readonly alarms: readonly LiveAlarm[];
  readonly floods: LiveState['floods'];
}

const KEY = 'potside.last-state';

/** Null while nothing has come that could be kept. What is old already is kept as old as it is. */
export function toKeep(session: Session, live: LiveState, feed: LinkFeed, monotonicMs: number, wallMs: number): KeptState | null {
  const { following, clock, frameAtMs } = feed;
  if (following.state === 'waiting' || !clock || frameAtMs === null) return null;
  return {
    protocol: LIVE_PROTOCOL, session, keptAtMs: wallMs - Math.max(0, monotonicMs - frameAtMs), serverAtMs: serverTimeMs(clock, frameAtMs), boot: following.boot, revision: following.revision,
    sites: live.sites, points: [...live.points.values()], alarms: live.alarms, floods: live.floods,
  };
}

/** The kept state as the stores have it: never live, and as old as the device's clock says, at the least too old to be live. */
export function restore(kept: KeptState, feed: LinkFeed, monotonicMs: number, wallMs: number): { readonly live: LiveState; readonly feed: LinkFeed } {
  const frameAtMs = monotonicMs - Math.max(wallMs - kept.keptAtMs, LINK_DEAD_MS + 1);
  const offsetMs = kept.serverAtMs - frameAtMs;
  return {
    live: { sites: kept.sites, points: new Map(kept.points.map((p) => [pointKey(p.owner, p.id), p])), alarms: kept.alarms, floods: kept.floods },
    feed: { ...feed, following: { state: 'catching-up', because: 'broken', boot: kept.boot, revision: kept.revision }, clock: { offsetMs, estimates: [offsetMs] }, frameAtMs },
  };
}

export function writeKeptState(keep: Keep | null, state: KeptState): void {
  try {
    keep?.setItem(KEY, JSON.stringify(state));
  } catch {
    // Full or forbidden storage: without the server there is then nothing to show, which is said.
  }
}

export function readKeptState(keep: Keep | null): KeptState | null {
  try {
    const kept = JSON.parse(keep?.getItem(KEY) ?? 'null') as Partial<KeptState> | null;
    const isWhole = kept?.protocol === LIVE_PROTOCOL && typeof kept.session?.name === 'string' && Array.isArray(kept.sites) && Array.isArray(kept.points) && Array.isArray(kept.alarms);
    return isWhole ? (kept as KeptState) : null;
  } catch {
    return null;
  }
}

/** Nobody is signed in here any more: what somebody saw is nobody's to see. */
export function dropKeptState(keep: Keep | null): void {
  try {
    keep?.setItem(KEY, 'null');
  } catch {
    // Nothing can be kept there, so nothing is.
  }
}
