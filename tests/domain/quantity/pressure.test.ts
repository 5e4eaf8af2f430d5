import fc from 'fast-check';
import { expect, test } from 'vitest';
import { STANDARD_ATMOSPHERE, absolute, atmosphereAt, gauge, toAbsolute, toGauge } from '../../../domain/quantity/pressure.ts';

test('gauge and absolute differ by the local atmosphere, there and back', () => {
  fc.assert(fc.property(fc.double({ min: -50_000, max: 2e6, noNaN: true }), fc.double({ min: 60_000, max: 110_000, noNaN: true }), (pascal, air) => {
    const atmosphere = absolute(air);
    expect(toGauge(toAbsolute(gauge(pascal), atmosphere), atmosphere)).toBeCloseTo(pascal, 6);
  }));
});

test('nothing is below vacuum, and nothing isn’t a number', () => {
  expect(() => toAbsolute(gauge(-STANDARD_ATMOSPHERE), STANDARD_ATMOSPHERE)).toThrow(/vacuum/);
  expect(() => absolute(0)).toThrow(/vacuum/);
  expect(() => gauge(NaN)).toThrow(/finite/);
});

test('the atmosphere thins with height', () => {
  fc.assert(fc.property(fc.double({ min: -5000, max: 10_999, noNaN: true }), (height) => atmosphereAt(height + 1) < atmosphereAt(height)));
  expect(() => atmosphereAt(12_000)).toThrow(/elevation/);
  expect(() => atmosphereAt(NaN)).toThrow(/elevation/);
});
