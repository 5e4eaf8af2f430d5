import fc from 'fast-check';
import { expect, test } from 'vitest';
import { findRoot } from '../../../domain/quantity/find-root.ts';

test('finds where a function crosses zero, steep or flat, rising or falling', () => {
  fc.assert(fc.property(fc.double({ min: -9, max: 9, noNaN: true }), fc.constantFrom(1, -1), fc.constantFrom(1, 3, 5), (at, sign, power) => {
    const found = findRoot((x) => sign * (x - at) ** power, -10, 10, 1e-9);
    expect(Math.abs(found - at)).toBeLessThan(power === 1 ? 1e-8 : 1e-3);
  }));
});

test('a root so flat that values vanish beside it is still found (failed once)', () => {
  expect(Math.abs(findRoot((x) => (x + 1.89911354915196e-65) ** 5, -10, 10, 1e-9))).toBeLessThan(1e-3);
});

test('copes with an infinite end and a jump', () => {
  expect(findRoot((x) => (x > 5 ? Infinity : x - 2), 0, 10, 1e-9)).toBeCloseTo(2, 6);
  expect(findRoot((x) => (x < 3 ? -1 : 1), 0, 10, 1e-9)).toBeCloseTo(3, 6);
});

test('says so when there is no crossing', () => {
  expect(() => findRoot((x) => x * x + 1, -1, 1, 1e-9)).toThrow(/no solution/);
  expect(() => findRoot(() => NaN, -1, 1, 1e-9)).toThrow(/no solution/);
});
