import { useMemo, useRef } from 'react';
import type { LiveSite } from '../../domain/wire/live.ts';
import { type LinkState, isLive, judgeLink } from '../link/link-state.ts';
import type { LinkFeed } from '../link/live-link.ts';
import { serverTimeMs } from '../link/server-clock.ts';
import { type SensorFacts, readSensorFacts } from '../link/site-facts.ts';
import type { LiveState } from '../store/live-state.ts';
import { useSeat } from './desk-context.ts';
import { useSelected, useStore, useWorkedOut } from './use-store.ts';

/** How live a site is, judged anew at each tick and frame: for what shows ages. */
export function useLink(site: LiveSite | undefined): LinkState {
  const { desk } = useSeat();
  const points = useSelected(desk.live, (live) => live.points);
  const facts = useMemo(() => (site ? readSensorFacts(site, points) : null), [site, points]);
  return judge(useStore(desk.tick), useStore(desk.feed), facts);
}

/** Only whether values may be drawn as live: what asks this is not drawn anew at each frame. */
export function useIsLive(site: LiveSite | undefined): boolean {
  const { desk } = useSeat();
  const known = useRef<{ readonly site: LiveSite | undefined; readonly points: LiveState['points']; readonly facts: SensorFacts | null } | null>(null);
  return useWorkedOut(desk.tick, desk.feed, () => {
    const { points } = desk.live.published();
    if (known.current?.points !== points || known.current.site !== site) known.current = { site, points, facts: site ? readSensorFacts(site, points) : null };
    return isLive(judge(desk.tick.published(), desk.feed.published(), known.current.facts));
  });
}

function judge(tickMs: number, feed: LinkFeed, facts: SensorFacts | null): LinkState {
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
