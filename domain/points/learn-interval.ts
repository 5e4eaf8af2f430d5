import type { PointKind } from './catalogue.ts';

/** Gaps looked at, and how many must be there before anything is learnt. */
const KEPT = 9;
const ENOUGH = 5;
/** The middle half of the gaps lies within this factor of their median, or the sensor has no interval: it drops out. */
const REGULAR = 1.5;
/** What is learnt at most; a slower sensor is for the site to say. */
const LONGEST_MS = 300_000;

/**
 * Whether the interval of such a point may be learnt: not where silence hides a danger, nor for a state that may change at any time.
 * Breathing air keeps its seconds whatever its sensors do.
 */
export function learnsInterval(kind: PointKind): boolean {
  return kind.origin === 'measured' && kind.dangerous === undefined && kind.state === undefined && !kind.id.startsWith('breathing-air');
}

/** The last gaps between readings, ms, with one more. Empty while none of them is slow: a quick sensor costs nothing. */
export function withGap(gaps: readonly number[], gapMs: number, kind: PointKind): readonly number[] {
  const isSlow = (ms: number): boolean => 3 * ms > kind.staleAfterMs;
  if (gapMs <= 0 || (gaps.length === 0 && !isSlow(gapMs))) return gaps;
  const next = [...gaps, gapMs].slice(-KEPT);
  return next.some(isSlow) ? next : [];
}

/**
 * The interval of a point, ms: the median of its last gaps where they are regular, never under its kind's own and never over five minutes.
 * So it only widens the time of silence that a slow sensor is given.
 */
export function learntEveryMs(gaps: readonly number[], kind: PointKind): number {
  if (gaps.length < ENOUGH) return kind.everyMs;
  const sorted = gaps.toSorted((a, b) => a - b);
  const at = (share: number): number => sorted[Math.floor(share * (sorted.length - 1))] ?? 0;
  const median = at(0.5);
  const isRegular = at(0.25) * REGULAR >= median && at(0.75) <= REGULAR * median;
  return isRegular ? Math.min(LONGEST_MS, Math.max(kind.everyMs, median)) : kind.everyMs;
}
