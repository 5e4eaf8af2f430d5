import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LATE } from '../../server/record/blocks/sample-block.ts';
import { Downsampler, type Window } from '../../server/record/downsample.ts';
import type { Sample } from '../../server/record/store.ts';

const at = (atMs: number, value: number | null): Sample => ({ atMs, value, late: false });
const TEN_HOURS = 36_000_000;

/** Draws samples that come in pieces of this many. */
function downsample(samples: readonly Sample[], window: Window, piece = samples.length) {
  const drawing = new Downsampler(window);
  for (let first = 0; first < samples.length; first += piece) {
    const part = samples.slice(first, first + piece);
    drawing.add({ atMs: Float64Array.from(part, (one) => one.atMs), value: Float64Array.from(part, ({ value }) => value ?? Number.NaN), mark: Uint8Array.from(part, ({ late }) => (late ? LATE : 0)) });
  }
  return drawing.drawn();
}

it('keeps a single sample of 400 ppm at the zoom of a whole shift', () => {
  const samples = Array.from({ length: 36_000 }, (_, second) => at(second * 1000, second === 20_123 ? 400 : 2));
  const { max, atMs } = downsample(samples, { fromMs: 0, toMs: TEN_HOURS, width: 1000, gapMs: 10_000 });
  expect(Math.max(...max.map((value) => value ?? 0))).toBe(400);
  expect(atMs.length).toBeLessThanOrEqual(1001);
});

describe('gaps', () => {
  it('stay gaps: silence is marked where it began, and bad values are not drawn', () => {
    const samples = [at(0, 1), at(1000, 2), at(60_000, 3), at(61_000, null), at(62_000, 4)];
    const { atMs, min } = downsample(samples, { fromMs: 0, toMs: 100_000, width: 100, gapMs: 10_000 });
    expect(atMs).toEqual([0, 1000, 1001, 60_000, 61_000, 62_000]);
    expect(min).toEqual([1, 2, null, 3, null, 4]);
  });
});

it('gives strictly ascending times and loses no extreme, whatever the samples', () => {
  const sample = fc.record({ gap: fc.integer({ min: 0, max: 30_000 }), value: fc.option(fc.integer({ min: -50, max: 500 }), { nil: null }) });
  fc.assert(
    fc.property(fc.array(sample, { minLength: 1, maxLength: 300 }), fc.integer({ min: 10, max: 500 }), fc.integer({ min: 1, max: 40 }), (raw, width, piece) => {
      let atMs = 0;
      const samples = raw.map(({ gap, value }) => at((atMs += gap), value));
      const drawn = downsample(samples, { fromMs: 0, toMs: atMs + 1, width, gapMs: 10_000 });
      expect(downsample(samples, { fromMs: 0, toMs: atMs + 1, width, gapMs: 10_000 }, piece)).toEqual(drawn);
      for (let index = 1; index < drawn.atMs.length; index += 1) expect(drawn.atMs[index]).toBeGreaterThan(drawn.atMs[index - 1] ?? 0);
      const values = samples.flatMap(({ value }) => (value === null ? [] : [value]));
      const shown = (column: readonly (number | null)[]): number[] => column.flatMap((value) => (value === null ? [] : [value]));
      if (values.length > 0) {
        expect(Math.max(...shown(drawn.max))).toBe(Math.max(...values));
        expect(Math.min(...shown(drawn.min))).toBe(Math.min(...values));
      }
    }),
  );
});

it('marks the pixels that have something late in them, and those alone', () => {
  const samples = [at(0, 1), { ...at(100, 2), late: true }, at(1000, 3), at(2000, 4), { ...at(2500, 9), late: true }];
  expect(downsample(samples, { fromMs: 0, toMs: 10_000, width: 10, gapMs: 10_000 }).late).toEqual([true, false, true]);
});
