import { describe, expect, it } from 'vitest';
import { type Column, trimColumn } from '../../dashboard/chart/column.ts';
import { recentQuestions } from '../../dashboard/watch/recent/recent-questions.ts';
import { FIELD, shortShape } from '../../dashboard/watch/recent/short-shape.ts';
import { pointKey } from '../../domain/points/reading.ts';
import { SITE, fabricatedSite, point } from './support/fabricated-site.ts';

const column = (...rows: [atMs: number, min: number | null, max: number | null][]): Column => ({ atMs: rows.map((r) => r[0]), min: rows.map((r) => r[1]), max: rows.map((r) => r[2]) });
const scale = { fromMs: 0, toMs: 120_000, leastSpan: 10, limits: [] };
/** Heights drawn, from the top. */
const heights = (path: string): number[] => [...path.matchAll(/[ML][\d.]+ ([\d.]+)/g)].map((m) => Number(m[1]));

describe('short trace', () => {
  it('draws nothing across a gap, and a lone reading as a mark', () => {
    const { paths } = shortShape(column([0, 5, 5], [10_000, 6, 6], [20_000, null, null], [30_000, 5, 5], [40_000, null, null]), scale);
    expect(paths).toHaveLength(2);
    expect(paths[0]).not.toContain('30 ');
    expect(paths[1]).toMatch(/^M30 .*h\.4$/);
  });

  it('keeps the peak of a step, and does not blow up a quiet line', () => {
    const peak = shortShape(column([0, 3, 3], [10_000, 3, 400], [20_000, 3, 3]), scale);
    expect(Math.min(...heights(peak.paths[0] as string))).toBeCloseTo(2);
    const quiet = heights(shortShape(column([0, 3, 3], [10_000, 3.2, 3.2]), scale).paths[0] as string);
    expect(Math.max(...quiet) - Math.min(...quiet)).toBeLessThan(1);
    expect(Math.abs((quiet[0] as number) - FIELD.height / 2)).toBeLessThan(1);
  });

  it('marks the limits within its scale and no others', () => {
    expect(shortShape(column([0, 8, 8], [10_000, 12, 12]), { ...scale, limits: [10, 40] }).limits).toEqual([FIELD.height / 2]);
    expect(shortShape(column([0, null, null]), { ...scale, limits: [10] })).toEqual({ paths: [], limits: [] });
  });

  it('forgets what is older than it shows, but for the sample that it comes in from', () => {
    const c = column([0, 1, 1], [10_000, 2, 2], [20_000, 3, 3]);
    expect(trimColumn(c, 15_000).atMs).toEqual([10_000, 20_000]);
    expect(trimColumn(c, 99_000).atMs).toEqual([20_000]);
    expect(trimColumn(c, 0)).toBe(c);
    expect(trimColumn(column(), 5)).toEqual(column());
  });

  it('asks for what rigs share once, and for nothing that is not there', () => {
    const { rigs } = fabricatedSite(0);
    const there = [point('rig-a', 'breathing-air-co', 3, 0), point('rig-b', 'breathing-air-co', 3, 0), point('comp-1', 'compressor-pressure', 110, 0), point(SITE, 'wind-speed', 3, 0)];
    expect(recentQuestions(rigs, new Map(there.map((p) => [pointKey(p.owner, p.id), p])))).toEqual([
      { rig: 'rig-a', points: ['breathing-air-co', 'compressor-pressure', 'wind-speed'] },
      { rig: 'rig-b', points: ['breathing-air-co'] },
    ]);
  });
});
