import { medianOf } from '../../domain/trend/median-slots.ts';
import type { TraceSeries } from '../../domain/wire/trace.ts';

/** History of one point: strictly ascending times, lowest and highest within each step; a null pair is a known gap. */
export interface Column {
  readonly atMs: readonly number[];
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
}

export const EMPTY_COLUMN: Column = { atMs: [], min: [], max: [] };

export function toColumn(series: TraceSeries | undefined): Column {
  return series ? { atMs: series.atMs, min: series.min, max: series.max } : EMPTY_COLUMN;
}

/** The middle of what a column has had since an instant; null where that is nothing, or where it has a gap. */
export function medianSince(column: Column, sinceMs: number): number | null {
  const middles: number[] = [];
  for (let place = column.atMs.length - 1; place >= 0 && (column.atMs[place] ?? 0) >= sinceMs; place -= 1) {
    const low = column.min[place] ?? null;
    const high = column.max[place] ?? null;
    if (low === null || high === null) return null;
    middles.push((low + high) / 2);
  }
  return middles.length === 0 ? null : medianOf(middles);
}

/** The column without what lies before an instant; the last sample before it stays, so that a line comes in from the edge. */
export function trimColumn(column: Column, fromMs: number): Column {
  const inside = column.atMs.findIndex((atMs) => atMs >= fromMs);
  const first = inside === -1 ? column.atMs.length - 1 : inside - 1;
  return first <= 0 ? column : { atMs: column.atMs.slice(first), min: column.min.slice(first), max: column.max.slice(first) };
}

/**
 * The column with one more live reading. Readings of one step share a place, so a shift stays as long as the screen is wide, and
 * their extremes stay: a single peak is never lost. Null is a reading that isn't good, and makes a gap.
 */
export function appendReading(column: Column, atMs: number, value: number | null, stepMs: number): Column {
  const last = column.atMs.length - 1;
  const lastAtMs = column.atMs[last];
  const lastMax = column.max[last] ?? null;
  const lastMin = column.min[last] ?? null;
  if (lastAtMs !== undefined && value !== null && lastMax !== null && lastMin !== null && Math.floor(atMs / stepMs) === Math.floor(lastAtMs / stepMs)) {
    if (value <= lastMax && value >= lastMin) return column;
    return {
      atMs: column.atMs,
      min: [...column.min.slice(0, last), Math.min(lastMin, value)],
      max: [...column.max.slice(0, last), Math.max(lastMax, value)],
    };
  }
  // Late readings belong to the record, not to the live end.
  if (lastAtMs !== undefined && atMs <= lastAtMs) return column;
  if (value === null && lastAtMs !== undefined && lastMax === null) return column;
  return { atMs: [...column.atMs, atMs], min: [...column.min, value], max: [...column.max, value] };
}
