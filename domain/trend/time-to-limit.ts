import type { Trend } from './robust-trend.ts';

/** When a limit will be reached, as far as the trend can tell; seconds from the newest slot. */
export type TimeToLimit =
  | { readonly kind: 'no-trend' }
  | { readonly kind: 'moving-away' }
  | { readonly kind: 'beyond' }
  | {
      readonly kind: 'approaching';
      readonly soonest: number;
      readonly likely: number;
      readonly latest: number;
    };

/**
 * Time left until a value falls (`side` low) or rises (`side` high) to its limit, with an interval from the slope's and the
 * level's own. `no-trend` is an answer: it is given wherever the interval does not agree on a direction.
 * It holds if things go on as they do; they need not.
 */
export function timeToLimit(trend: Trend | undefined, limit: number, side: 'low' | 'high'): TimeToLimit {
  if (!Number.isFinite(limit)) throw new RangeError(`limit must be finite, found ${limit}`);
  if (!trend) return { kind: 'no-trend' };
  const towards = side === 'high' ? 1 : -1;
  const distance = (limit - trend.level) * towards;
  if (distance <= 0) return { kind: 'beyond' };
  if (!trend.significant) return { kind: 'no-trend' };
  const speed = trend.slope * towards;
  if (speed <= 0) return { kind: 'moving-away' };
  const [slow, fast] = side === 'high' ? [trend.low, trend.high] : [-trend.high, -trend.low];
  const slack = 1.96 * trend.levelError;
  return { kind: 'approaching', soonest: Math.max(0, (distance - slack) / fast), likely: distance / speed, latest: (distance + slack) / slow };
}
