import type { SiteSituation } from '../alarms/situation.ts';
import type { Failure } from './site-effects.ts';

/** What fails with every reading is told once in so long. */
const TOLD_AGAIN_MS = 600_000;
/** More things than this do not fail apart from one another. */
const MOST_NAMES = 64;

/** The situation with these failures in it, and those of them that are news. */
export function noteFailures(site: SiteSituation, failures: readonly Failure[], atMs: number): { site: SiteSituation; news: readonly Failure[] } {
  const told: Record<string, number> = Object.fromEntries(Object.entries(site.notJudged?.told ?? {}).filter(([, toldMs]) => atMs - toldMs < TOLD_AGAIN_MS));
  const news: Failure[] = [];
  for (const failure of failures) {
    if (Object.hasOwn(told, failure.what) || Object.keys(told).length >= MOST_NAMES) continue;
    told[failure.what] = atMs;
    news.push(failure);
  }
  return { site: { ...site, notJudged: { atMs, told } }, news };
}
