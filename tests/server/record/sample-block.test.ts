import fc from 'fast-check';
import { expect, it } from 'vitest';
import { QUALITY_REASONS } from '../../../domain/points/reading.ts';
import { decodeLog, encodeLog, type PackedEntry } from '../../../server/record/blocks/log-block.ts';
import { decodeOrigins, decodeSamples, encodeBlock, LATE } from '../../../server/record/blocks/sample-block.ts';

const value = fc.oneof(
  { weight: 6, arbitrary: fc.integer({ min: -2000, max: 20_000 }).map((tenths) => tenths / 10) },
  fc.double({ noNaN: true }),
  fc.constantFrom(0, -0, 0.1 + 0.2, Number.MAX_VALUE, Number.MIN_VALUE, Number.POSITIVE_INFINITY, 2 ** 60, Number.NaN),
);
const time = fc.oneof({ weight: 6, arbitrary: fc.integer({ min: 0, max: 3_600_000 }).map((ms) => 1.78e12 + ms) }, fc.integer({ min: 0, max: 2 ** 50 }));
const row = fc.record({
  atMs: time,
  value,
  mark: fc.tuple(fc.integer({ min: 0, max: 2 }), fc.constantFrom(0, LATE)).map(([quality, late]) => quality | late),
  receivedMs: time,
  id: fc.integer({ min: 0, max: 2 ** 48 }),
  sequence: fc.integer({ min: 0, max: 2 ** 48 }),
  reason: fc.constantFrom(null, ...QUALITY_REASONS),
});

it('gives back every bit of what was packed, whatever it was', () => {
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 60 }), fc.constantFrom(0.1, 1, 0.01, 5, 0.25, 0.3), (unsorted, resolution) => {
      const rows = unsorted.toSorted((a, b) => a.atMs - b.atMs);
      const column = (name: 'atMs' | 'value' | 'receivedMs' | 'id' | 'sequence'): Float64Array => Float64Array.from(rows, (one) => one[name]);
      const samples = { atMs: column('atMs'), value: column('value'), mark: Uint8Array.from(rows, ({ mark }) => mark) };
      const origins = { receivedMs: column('receivedMs'), id: column('id'), sequence: column('sequence'), reason: rows.map(({ reason }) => reason) };
      const block = encodeBlock(samples, origins, resolution);
      const back = decodeSamples(block);
      expect(back).toStrictEqual(samples);
      expect(decodeOrigins(block, back)).toStrictEqual(origins);
    }),
    { numRuns: 500 },
  );
});

it('packs batches and ticks of a log and gives them back', () => {
  const entry = fc.record({ skip: fc.integer({ min: 1, max: 9 }), wait: fc.integer({ min: 0, max: 1e7 }), gap: fc.integer({ min: 0, max: 40 }), count: fc.integer({ min: 0, max: 2000 }), origin: fc.constantFrom('', 'g1/e1', 'g2/e9') });
  fc.assert(
    fc.property(fc.array(entry, { minLength: 1, maxLength: 50 }), (steps) => {
      let [seq, atMs, first] = [0, 1.78e12, 1];
      const entries = steps.map(({ skip, wait, gap, count, origin }): PackedEntry => {
        [seq, atMs, first] = [seq + skip, atMs + wait, first + gap];
        const batch = count === 0 ? null : { first, count, origin };
        first += count;
        return { seq, atMs, batch };
      });
      expect(decodeLog(encodeLog(entries))).toStrictEqual(entries);
    }),
  );
});

it('any flipped bit and any cut of a block is found', () => {
  const samples = { atMs: Float64Array.of(1, 2, 3), value: Float64Array.of(96.4, 96.5, 96.3), mark: Uint8Array.of(0, 0, 0) };
  const block = encodeBlock(samples, { receivedMs: Float64Array.of(1, 2, 3), id: Float64Array.of(1, 2, 3), sequence: Float64Array.of(1, 2, 3), reason: [null, null, null] }, 0.1);
  for (let bit = 0; bit < block.length * 8; bit += 1) {
    const damaged = Buffer.from(block);
    damaged[bit >> 3] = (damaged[bit >> 3] ?? 0) ^ (1 << (bit & 7));
    expect(() => decodeSamples(damaged)).toThrow('damaged');
  }
  for (let length = 0; length < block.length; length += 1) expect(() => decodeSamples(block.subarray(0, length))).toThrow('damaged');
});
