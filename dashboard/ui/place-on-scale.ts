import type { LivePoint } from '../../domain/wire/live.ts';
import { limitsOf } from '../format/describe-point.ts';

/** Places in percent of a scale from zero to `top`, which a limit or value beyond it stretches. */
export interface ScalePlaces {
  readonly value: number | null;
  /** Every limit, each once. */
  readonly limits: readonly number[];
  /** What lies between the innermost limits; null where nothing is judged. */
  readonly normal: readonly [from: number, to: number] | null;
}

export function placeOnScale(point: LivePoint | undefined, top: number): ScalePlaces {
  const limits = point ? limitsOf(point) : [];
  const value = point?.quality === 'good' ? point.value : null;
  const end = Math.max(top, ...limits.map((l) => l.limit * 1.1));
  const place = (v: number): number => Math.min(100, Math.max(0, (v / end) * 100));
  const low = Math.max(0, ...limits.filter((l) => l.side === 'low').map((l) => l.limit));
  const high = Math.min(end, ...limits.filter((l) => l.side === 'high').map((l) => l.limit));
  return {
    value: value === null ? null : place(value),
    limits: [...new Set(limits.map((l) => place(l.limit)))],
    normal: limits.length === 0 || low > high ? null : [place(low), place(high)],
  };
}
