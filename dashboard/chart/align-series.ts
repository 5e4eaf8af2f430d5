import type { Column } from './column.ts';

/** Columns on one common time axis: seconds, then lowest and highest of each column in turn. */
export type AlignedColumns = [xSeconds: number[], ...ys: (number | null | undefined)[][]];

/**
 * Puts columns on one strictly ascending axis. `null` only where a column itself has a gap; `undefined` where it merely has no
 * sample at another's time, which the line is drawn across. A chart fed with an axis out of order draws rubbish without a word,
 * so a column out of order is refused here.
 * @throws RangeError when a column is not strictly ascending.
 */
export function alignSeries(columns: readonly Column[]): AlignedColumns {
  const times = new Set<number>();
  for (const column of columns) {
    let before = -Infinity;
    for (const atMs of column.atMs) {
      if (!(atMs > before)) throw new RangeError(`times must ascend, found ${atMs} after ${before}`);
      before = atMs;
      times.add(atMs);
    }
  }
  const axis = [...times].sort((a, b) => a - b);
  const place = new Map(axis.map((atMs, index) => [atMs, index]));
  const ys = columns.flatMap((column) => [spread(column.atMs, column.min, place, axis.length), spread(column.atMs, column.max, place, axis.length)]);
  return [axis.map((atMs) => atMs / 1000), ...ys];
}

function spread(atMs: readonly number[], values: readonly (number | null)[], place: ReadonlyMap<number, number>, length: number): (number | null | undefined)[] {
  const out = new Array<number | null | undefined>(length).fill(undefined);
  atMs.forEach((at, index) => {
    out[place.get(at) as number] = values[index] ?? null;
  });
  return out;
}
