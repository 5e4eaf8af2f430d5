import { medianOf } from './median-slots.ts';

/**
 * Notices that residuals have shifted, in constant memory: their usual level and spread are learnt from the first ones, then
 * deviations are summed both ways (two-sided CUSUM). Plain data: it goes into a snapshot.
 */
export interface ChangeDetector {
  /** Residuals still being learnt from; empty once learnt. */
  readonly learning: readonly number[];
  readonly usual: { readonly level: number; readonly spread: number } | null;
  readonly up: Sum;
  readonly down: Sum;
}

interface Sum {
  readonly sum: number;
  readonly sinceMs: number;
  readonly count: number;
}

/** What was found: since when about, and by how much, in the residuals' unit. */
export interface Change {
  readonly sinceMs: number;
  readonly by: number;
}

const LEARN = 60;
/** Of the spread: half the smallest shift worth finding, and where the sum says it has come. Noise alone calls less than once in 5,000. */
const SLACK = 0.75;
const DECISION = 8;
/** One wild reading must not decide: no deviation counts for more. */
const MOST = 3;

const NOTHING: Sum = { sum: 0, sinceMs: 0, count: 0 };
export const LEARNING: ChangeDetector = { learning: [], usual: null, up: NOTHING, down: NOTHING };

function addTo(from: Sum, deviation: number, atMs: number): Sum {
  const sum = from.sum + deviation - SLACK;
  if (sum <= 0) return NOTHING;
  return { sum, sinceMs: from.sum > 0 ? from.sinceMs : atMs, count: from.count + 1 };
}

/**
 * Takes the next residual, in order of time, ideally not more often than they become independent. After a change it learns
 * the new level afresh.
 * @param leastSpread the gauges' own standard error: a series that happens to stand still must not make it nervous.
 * @throws RangeError for a residual that isn't finite or a least spread that isn't above zero.
 */
export function nextChangeDetector(detector: ChangeDetector, atMs: number, residual: number, leastSpread: number): { detector: ChangeDetector; change?: Change } {
  if (!Number.isFinite(residual)) throw new RangeError(`residual must be finite, found ${residual}`);
  if (!(leastSpread > 0)) throw new RangeError(`least spread must be above 0, found ${leastSpread}`);
  const { usual } = detector;
  if (!usual) return { detector: learn(detector, residual, leastSpread) };
  const deviation = Math.min(MOST, Math.max(-MOST, (residual - usual.level) / usual.spread));
  const up = addTo(detector.up, deviation, atMs);
  const down = addTo(detector.down, -deviation, atMs);
  const found = up.sum > DECISION ? up : down.sum > DECISION ? down : undefined;
  if (!found) return { detector: { ...detector, up, down } };
  const by = (found.sum / found.count + SLACK) * usual.spread * (found === up ? 1 : -1);
  return { detector: LEARNING, change: { sinceMs: found.sinceMs, by } };
}

function learn(detector: ChangeDetector, residual: number, leastSpread: number): ChangeDetector {
  const learning = [...detector.learning, residual];
  if (learning.length < LEARN) return { ...detector, learning };
  const level = medianOf(learning);
  const spread = Math.max(leastSpread, 1.4826 * medianOf(learning.map((one) => Math.abs(one - level))));
  return { learning: [], usual: { level, spread }, up: NOTHING, down: NOTHING };
}
