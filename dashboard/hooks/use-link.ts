import { useMemo } from 'react';
import type { LiveSite } from '../../domain/wire/live.ts';
import { type LinkState, judgeLink } from '../link/link-state.ts';
import { serverTimeMs } from '../link/server-clock.ts';
import { readSensorFacts } from '../link/site-facts.ts';
import { useSeat } from './desk-context.ts';
import { useStore } from './use-store.ts';

/** How live a site is, judged anew at each tick. */
export function useLink(site: LiveSite | undefined): LinkState {
  const { desk } = useSeat();
  const tickMs = useStore(desk.tick);
  const feed = useStore(desk.feed);
  const { points } = useStore(desk.live);
  const facts = useMemo(() => (site ? readSensorFacts(site, points) : null), [site, points]);
  // A frame may be newer than the tick.
  const monotonicMs = Math.max(tickMs, feed.frameAtMs ?? 0, feed.openedAtMs);
  const serverNowMs = feed.clock ? serverTimeMs(feed.clock, monotonicMs) : null;
  const age = (atMs: number | null | undefined): number | null => (atMs == null || serverNowMs === null ? null : Math.max(0, serverNowMs - atMs));
  return judgeLink({
    following: feed.following,
    sinceOpenMs: monotonicMs - feed.openedAtMs,
    frameAgeMs: feed.frameAtMs === null ? null : monotonicMs - feed.frameAtMs,
    gatewayAgeMs: age(facts?.gatewayAtMs),
    silentSensors: facts?.silentSensors ?? 0,
    oldestMs: age(facts?.oldestAtMs),
  });
}
