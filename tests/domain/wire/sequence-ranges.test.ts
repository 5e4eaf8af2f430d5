import fc from 'fast-check';
import { expect, it } from 'vitest';
import { addRange, contiguousThrough, countOf, covers, firstGap, highest, type SequenceRange, type SequenceRanges } from '../../../domain/wire/sequence-ranges.ts';

const MOST = 40;
const anyRange = fc.tuple(fc.nat(MOST), fc.nat(MOST)).map(([a, b]): SequenceRange => [Math.min(a, b), Math.max(a, b)]);

it('is the set of what was added, in whatever order', () => {
  fc.assert(
    fc.property(fc.array(anyRange, { maxLength: 12 }), (added) => {
      const ranges = added.reduce<SequenceRanges>(addRange, []);
      const held = new Set(added.flatMap(([after, through]) => Array.from({ length: through - after }, (_, at) => after + 1 + at)));
      for (let sequence = 0; sequence <= MOST + 1; sequence += 1) expect(covers(ranges, sequence)).toBe(held.has(sequence));
      expect(countOf(ranges)).toBe(held.size);
      expect(highest(ranges)).toBe(Math.max(0, ...held));
      let through = 0;
      while (held.has(through + 1)) through += 1;
      expect(contiguousThrough(ranges)).toBe(through);
      // Neither overlap nor touch, so that there are as few as can be.
      ranges.forEach(([after], at) => expect(after).toBeGreaterThan(ranges[at - 1]?.[1] ?? -1));
    }),
  );
});

it('names the first gap, never beyond where the live lane begins', () => {
  expect(firstGap([], 0)).toBeNull();
  expect(firstGap([], 9)).toEqual([0, 9]);
  expect(firstGap([[0, 4]], 9)).toEqual([4, 9]);
  expect(firstGap([[0, 4], [9, 12], [20, 30]], 20)).toEqual([4, 9]);
  expect(firstGap([[0, 12], [20, 30]], 20)).toEqual([12, 20]);
  expect(firstGap([[3, 12]], 12)).toEqual([0, 3]);
  expect(firstGap([[0, 30]], 12)).toBeNull();
});
