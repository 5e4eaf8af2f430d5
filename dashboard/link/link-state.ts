import type { Following } from './resync.ts';

/** Silence from the server after which nothing on the page counts as live. */
export const LINK_DEAD_MS = 5_000;
/** Silence of a gateway after which nothing of its site counts as live; above the slowest usual sensor interval. */
export const GATEWAY_DEAD_MS = 30_000;

/** How the page stands with what it shows, worst first in the order of the checks. */
export type LinkState =
  | { readonly state: 'connecting'; readonly forMs: number }
  | { readonly state: 'not-live'; readonly because: 'server-silent' | 'gateway-silent'; readonly ageMs: number }
  | { readonly state: 'catching-up'; readonly ageMs: number }
  | { readonly state: 'live'; readonly silentSensors: number; readonly oldestMs: number | null };

export interface LinkFacts {
  readonly following: Following;
  readonly sinceOpenMs: number;
  /** Since the last frame that was believed. */
  readonly frameAgeMs: number | null;
  /** Since the last sign of the site's gateway; null where it is not known. */
  readonly gatewayAgeMs: number | null;
  readonly silentSensors: number;
  /** Age of the oldest reading that still counts as good. */
  readonly oldestMs: number | null;
}

/** The worst of browser link, gateway and sensors decides. */
export function judgeLink(facts: LinkFacts): LinkState {
  if (facts.following.state === 'waiting' || facts.frameAgeMs === null) return { state: 'connecting', forMs: facts.sinceOpenMs };
  if (facts.frameAgeMs > LINK_DEAD_MS) return { state: 'not-live', because: 'server-silent', ageMs: facts.frameAgeMs };
  if (facts.following.state === 'catching-up' && !isShortHole(facts.following, facts.frameAgeMs)) {
    return { state: 'catching-up', ageMs: facts.frameAgeMs };
  }
  if (facts.gatewayAgeMs !== null && facts.gatewayAgeMs > GATEWAY_DEAD_MS) {
    return { state: 'not-live', because: 'gateway-silent', ageMs: facts.gatewayAgeMs };
  }
  return { state: 'live', silentSensors: facts.silentSensors, oldestMs: facts.oldestMs };
}

/** A push dropped on a slow line is mended within a second; a page that cried wolf at each would not be believed. */
const HOLE_PATIENCE_MS = 1_500;

function isShortHole(following: Following, frameAgeMs: number): boolean {
  return following.state === 'catching-up' && following.because !== 'unseen' && frameAgeMs < HOLE_PATIENCE_MS;
}

/** True where values may be drawn as live. */
export function isLive(link: LinkState): boolean {
  return link.state === 'live';
}
