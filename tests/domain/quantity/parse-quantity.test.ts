import { describe, expect, test } from 'vitest';
import { QuantityError, parseQuantity, parseRange, parseUnit } from '../../../domain/quantity/parse-quantity.ts';
import type { Dimension } from '../../../domain/quantity/unit.ts';

test.each<[string, Dimension, number]>([
  ['100psi', 'pressure', 689475.729],
  ['7 bar', 'pressure', 7e5],
  ['7barg', 'pressure', 7e5],
  ['7/16in', 'length', 0.0111125],
  ['1-1/4in', 'length', 0.03175],
  ['1 1/4 in', 'length', 0.03175],
  ['1.25in', 'length', 0.03175],
  ['-5degC', 'temperature', 268.15],
  ['-40 degF', 'temperature', 233.15],
  ['60%', 'fraction', 0.6],
  ['50ppm', 'fraction', 5e-5],
  ['150cfm', 'volume-flow', 0.0707921],
  ['30min', 'time', 1800],
  ['1.5 turns', 'count', 1.5],
  ['2', 'count', 2],
  ['+1e3Pa', 'pressure', 1000],
  ["5 [in_i'H2O]", 'pressure', 1245.44],
  ['10mph', 'speed', 4.4704],
  ['650lb', 'mass', 294.835],
])('%s as %s', (text, dimension, si) => {
  expect(parseQuantity(text, dimension).si / si).toBeCloseTo(1, 5);
});

test('absolute is told from gauge by how it is written', () => {
  expect(parseQuantity('114.7psia', 'pressure').absolute).toBe(true);
  expect(parseQuantity('8bara', 'pressure')).toMatchObject({ absolute: true, si: 8e5 });
  expect(parseQuantity('100psi', 'pressure').absolute).toBe(false);
  expect(parseUnit('psia', 'pressure')).toMatchObject({ absolute: true });
});

describe('what can’t be read is refused', () => {
  test.each<[string, Dimension, RegExp]>([
    ['', 'pressure', /not a number/],
    ['psi', 'pressure', /not a number/],
    ['100', 'pressure', /no unit/],
    ['100psi', 'length', /is a pressure/],
    ['100furlongs', 'length', /not known/],
    ['1/0in', 'length', /finite/],
    ['NaNpsi', 'pressure', /not a number/],
    ['Infinitypsi', 'pressure', /not a number/],
    ['1-1/0in', 'length', /finite/],
  ])('%j as %s', (text, dimension, message) => {
    expect(() => parseQuantity(text, dimension)).toThrow(QuantityError);
    expect(() => parseQuantity(text, dimension)).toThrow(message);
  });
});

test('a range has its low end first', () => {
  expect(parseRange('90psi..105psi', 'pressure').high.value).toBe(105);
  expect(() => parseRange('105psi..90psi', 'pressure')).toThrow(/below/);
  expect(() => parseRange('105psi', 'pressure')).toThrow(/range/);
});
