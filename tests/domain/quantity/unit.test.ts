import { ucum } from '@atomic-ehr/ucum';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Dimension, UNITS, UnitError, convert, findUnit, fromSi, needUnit, toSi } from '../../../domain/quantity/unit.ts';

/** SI unit of each dimension in UCUM. */
const SI: Readonly<Partial<Record<Dimension, string>>> = {
  pressure: 'Pa', temperature: 'K', fraction: '1', 'volume-flow': 'm3/s', 'mass-flow': 'kg/s', length: 'm', area: 'm2', volume: 'm3', mass: 'kg', time: 's', speed: 'm/s', angle: 'rad', current: 'A', density: 'kg/m3',
};

describe('every unit agrees with a UCUM library', () => {
  test.each(UNITS.filter((unit) => SI[unit.dimension] !== undefined).map((unit) => [unit.code, unit] as const))('%s', (_code, unit) => {
    const si = SI[unit.dimension] ?? '';
    for (const value of [1, 37.5]) {
      const theirs = ucum.convert(value, unit.code, si);
      expect(Math.abs(toSi(value, unit) / theirs - 1)).toBeLessThan(1e-6);
    }
  });
});

test.each(UNITS.map((unit) => [unit.code, unit] as const))('%s → SI → %s comes back', (_code, unit) => {
  fc.assert(fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (value) => Math.abs(fromSi(toSi(value, unit), unit) - value) <= 1e-9 * Math.max(1, Math.abs(value), Math.abs(unit.offset / unit.factor))));
});

test('a difference of temperature has no offset', () => {
  expect(toSi(5, needUnit('[degF]', 'temperature-difference'))).toBeCloseTo(2.7778, 4);
  expect(toSi(5, needUnit('[degF]', 'temperature'))).toBeCloseTo(258.15, 2);
});

test('only units of one kind convert', () => {
  expect(() => convert(1, needUnit('m', 'length'), needUnit('s', 'time'))).toThrow(UnitError);
  expect(() => needUnit('m', 'pressure')).toThrow(/m is a length/);
  expect(() => needUnit('furlong', 'length')).toThrow(/not known/);
  expect(findUnit('toString')).toBeUndefined();
});
