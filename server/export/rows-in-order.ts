import type { PointRows } from './shift-data.ts';

/** One row of an export: a point and a place in its columns. */
export interface RowRef {
  readonly rows: PointRows;
  readonly index: number;
}

/** The rows of many points by time, then by owner and point; CSV and Parquet have this same order. */
export function rowsInOrder(points: readonly PointRows[]): RowRef[] {
  const refs = points.flatMap((rows) => rows.atMs.map((_, index): RowRef => ({ rows, index })));
  const rank = new Map(points.toSorted((a, b) => compare(a.owner, b.owner) || compare(a.point, b.point)).map((rows, place) => [rows, place]));
  return refs.sort((a, b) => (a.rows.atMs[a.index] ?? 0) - (b.rows.atMs[b.index] ?? 0) || (rank.get(a.rows) ?? 0) - (rank.get(b.rows) ?? 0) || a.index - b.index);
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
