import { describe, expect, it } from 'vitest';
import { alignSeries } from '../../dashboard/chart/align-series.ts';
import { blastingSpans } from '../../dashboard/chart/blasting-spans.ts';
import { type Column, EMPTY_COLUMN, appendReading, medianSince } from '../../dashboard/chart/column.ts';

const column = (...rows: [atMs: number, min: number | null, max: number | null][]): Column => ({ atMs: rows.map((r) => r[0]), min: rows.map((r) => r[1]), max: rows.map((r) => r[2]) });

describe('alignSeries', () => {
  it('tells a gap, which breaks the line, from a time that is merely another’s', () => {
    expect(alignSeries([column([1000, 1, 2], [3000, null, null]), column([2000, 5, 6])])).toEqual([
      [1, 2, 3],
      [1, undefined, null],
      [2, undefined, null],
      [undefined, 5, undefined],
      [undefined, 6, undefined],
    ]);
  });

  it('is strictly ascending and loses no sample, for any columns', () => {
    let seed = 20;
    const random = (): number => (seed = (seed * 16_807) % 2_147_483_647) / 2_147_483_647;
    for (let round = 0; round < 200; round += 1) {
      const columns = Array.from({ length: 3 }, () => {
        let at = 0;
        return column(...Array.from({ length: Math.floor(random() * 20) }, (): [number, number, number] => [(at += 1 + Math.floor(random() * 5)), round, round]));
      });
      const [axis, ...ys] = alignSeries(columns);
      expect(axis.every((x, i) => i === 0 || x > (axis[i - 1] as number)), `round ${round}`).toBe(true);
      columns.forEach((c, i) => expect(ys[i * 2]?.filter((y) => y !== undefined).length, `round ${round}`).toBe(c.atMs.length));
    }
  });

  it('refuses a column out of order rather than draw rubbish', () => {
    expect(() => alignSeries([column([2000, 1, 1], [2000, 1, 1])])).toThrow(RangeError);
  });
});

describe('appendReading', () => {
  it('keeps the peak of a step that holds many readings', () => {
    let c = EMPTY_COLUMN;
    for (const [at, value] of [[10_000, 3], [11_000, 400], [12_000, 3]] as const) c = appendReading(c, at, value, 10_000);
    expect(c).toEqual(column([10_000, 3, 400]));
    expect(appendReading(c, 20_000, 4, 10_000).atMs).toEqual([10_000, 20_000]);
  });

  it('makes one gap of a value that isn’t good, however often it comes, and starts anew behind it', () => {
    let c = column([10_000, 3, 3]);
    for (const at of [11_000, 12_000]) c = appendReading(c, at, null, 10_000);
    expect(c).toEqual(column([10_000, 3, 3], [11_000, null, null]));
    expect(appendReading(c, 13_000, 4, 10_000)).toEqual(column([10_000, 3, 3], [11_000, null, null], [13_000, 4, 4]));
  });

  it('leaves a reading alone that is older than the live end, or repeated', () => {
    const c = column([10_000, 3, 3]);
    expect(appendReading(c, 9_000, 7, 1_000)).toBe(c);
    expect(appendReading(c, 10_000, 3, 1_000)).toBe(c);
  });
});

describe('medianSince', () => {
  it('takes the middle of the steps since then, one wild one not counting, and says nothing across a gap', () => {
    const c = column([0, 90, 90], [10_000, 1, 3], [20_000, 4, 4], [30_000, 80, 80]);
    expect(medianSince(c, 10_000)).toBe(4);
    expect(medianSince(c, 31_000)).toBeNull();
    expect(medianSince(column([10_000, 1, 3], [20_000, null, null], [30_000, 2, 2]), 10_000)).toBeNull();
  });
});

describe('blastingSpans', () => {
  it('lasts from the first step under flow to the first without, and to now when it goes on', () => {
    expect(blastingSpans(column([1, 0, 0], [2, 0, 1], [3, 1, 1], [4, 0, 0], [5, 1, 1]), 9)).toEqual([{ fromMs: 2, toMs: 4 }, { fromMs: 5, toMs: 9 }]);
  });

  it('ends where nothing is known', () => {
    expect(blastingSpans(column([1, 1, 1], [2, null, null]), 9)).toEqual([{ fromMs: 1, toMs: 2 }]);
  });
});
