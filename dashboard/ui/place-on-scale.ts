import type { LivePoint } from '../../domain/wire/live.ts';

/** Places in percent of a scale from zero to `top`, which a limit or value beyond it stretches. */
export interface ScalePlaces {
  readonly value: number | null;
  readonly limit: number | null;
  /** The normal side of the nearest limit. */
  readonly normal: readonly [from: number, to: number] | null;
}

export function placeOnScale(point: LivePoint | undefined, top: number): ScalePlaces {
  const limit = point?.margin?.limit ?? null;
  const value = point?.quality === 'good' ? point.value : null;
  const end = Math.max(top, (limit ?? 0) * 1.25);
  const place = (v: number): number => Math.min(100, Math.max(0, (v / end) * 100));
  return {
    value: value === null ? null : place(value),
    limit: limit === null ? null : place(limit),
    normal: limit === null ? null : point?.margin?.side === 'high' ? [0, place(limit)] : [place(limit), 100],
  };
}
