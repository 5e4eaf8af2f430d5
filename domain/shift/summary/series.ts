import type { QualityReason } from '../../points/reading.ts';

/** One point over a shift, in order of time. */
export interface Series {
  readonly owner: string;
  readonly point: string;
  /** Silence longer than this is a gap. */
  readonly gapMs: number;
  readonly atMs: readonly number[];
  /** In the point's default unit; null where there is none to rely on. */
  readonly value: readonly (number | null)[];
  /** Why there is none. */
  readonly reason: readonly (QualityReason | null)[];
}

/** A stretch of time, Unix ms; `toMs` is not in it. */
export interface Stretch {
  readonly fromMs: number;
  readonly toMs: number;
}

/** A value and how long it held: until the next one, but no longer than the point may be silent, nor beyond `untilMs`. */
export interface Held extends Stretch {
  readonly value: number | null;
}

/** The series as a staircase from `fromMs` to `untilMs`; what nothing holds for is left out. */
export function* held({ atMs, value, gapMs }: Series, { fromMs, toMs }: Stretch): Generator<Held> {
  for (let index = 0; index < atMs.length; index += 1) {
    const start = Math.max(fromMs, atMs[index] ?? 0);
    const next = atMs[index + 1] ?? Number.POSITIVE_INFINITY;
    const end = Math.min(toMs, next, (atMs[index] ?? 0) + gapMs);
    if (end > start) yield { fromMs: start, toMs: end, value: value[index] ?? null };
  }
}

/** How much of a stretch lies within another, ms. */
export function overlapMs(a: Stretch, b: Stretch): number {
  return Math.max(0, Math.min(a.toMs, b.toMs) - Math.max(a.fromMs, b.fromMs));
}

/** Stretches in order, joined where they touch. */
export function joined(stretches: readonly Stretch[]): Stretch[] {
  const result: Stretch[] = [];
  for (const stretch of stretches) {
    const last = result.at(-1);
    if (last && stretch.fromMs <= last.toMs) result[result.length - 1] = { fromMs: last.fromMs, toMs: Math.max(last.toMs, stretch.toMs) };
    else result.push(stretch);
  }
  return result;
}

/** Total length, ms. */
export function lengthOf(stretches: readonly Stretch[]): number {
  return stretches.reduce((sum, { fromMs, toMs }) => sum + toMs - fromMs, 0);
}

/** Stretches in which a series holds what is asked. */
export function whenever(series: Series, within: Stretch, holds: (value: number) => boolean): Stretch[] {
  const found: Stretch[] = [];
  for (const { fromMs, toMs, value } of held(series, within)) if (value !== null && holds(value)) found.push({ fromMs, toMs });
  return joined(found);
}

/** The last value at or before an instant that still holds then; null where there is none. */
export function valueAt({ atMs, value, gapMs }: Series, ms: number): number | null {
  let [low, high] = [0, atMs.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((atMs[middle] ?? 0) <= ms) low = middle + 1;
    else high = middle;
  }
  return low === 0 || ms - (atMs[low - 1] ?? 0) > gapMs ? null : (value[low - 1] ?? null);
}
