import type { Sqlite } from '../../host/open-sqlite.ts';
import type { Samples } from './blocks/sample-block.ts';

const ZERO = '0'.charCodeAt(0);

/**
 * Samples that are still rows, in the order of the query, which answers with `at_ms`, `value` and `mark`. The database hands over each
 * column as one text: handed over cell by cell, an hour of one point takes six times as long, and all of a running shift's traces wait
 * for that. Seventeen digits give back every bit of a value.
 */
export function readRows(database: Sqlite, query: string, ...parameters: readonly number[]): Samples {
  const columns = database.prepare(`SELECT group_concat(at_ms), group_concat(iif(value IS NULL, 'null', printf('%!.17g', value))), group_concat(mark, '') FROM (${query})`);
  const [times, values, marks] = columns.raw().get(...parameters) as [string | null, string | null, string | null];
  const value = numbers(values);
  return {
    atMs: Float64Array.from(numbers(times) as number[]),
    value: Float64Array.from(value, (one) => one ?? Number.NaN),
    mark: Uint8Array.from(Buffer.from(marks ?? '', 'latin1'), (digit) => digit - ZERO),
  };
}

function numbers(list: string | null): (number | null)[] {
  return JSON.parse(`[${list ?? ''}]`) as (number | null)[];
}
