import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { dewPoint } from '../../../domain/climate/humid-air.ts';
import { HUMIDITY_LIMIT, humidityMargin } from '../../../domain/climate/humidity-rule.ts';
import { angleBetween, intakePlume } from '../../../domain/climate/plume.ts';
import { steelMargin } from '../../../domain/climate/steel-margin.ts';
import { surfaceHumidity } from '../../../domain/climate/surface-humidity.ts';

const K = 273.15;
const DEGREE = Math.PI / 180;
const bearings = fc.double({ min: -720, max: 720, noNaN: true }).map((degrees) => degrees * DEGREE);

describe('steel', () => {
  test('the margin is the steel less the dew point: 9.3 °C at 20 °C and 50 %', () => {
    expect(steelMargin(15 + K, 20 + K, 0.5)).toBeCloseTo(15 - 9.27, 2);
    expect(steelMargin(5 + K, 20 + K, 0.5)).toBeLessThan(0);
  });

  test('a warmer steel has more margin, a damper air less', () => {
    fc.assert(fc.property(fc.double({ min: -10, max: 50, noNaN: true }), fc.double({ min: 0.1, max: 0.9, noNaN: true }), (steel, rh) => {
      const margin = steelMargin(steel + K, 15 + K, rh);
      return steelMargin(steel + K + 1, 15 + K, rh) > margin && steelMargin(steel + K, 15 + K, rh + 0.05) < margin;
    }));
  });

  test('humidity at the steel is 1 where the steel is at its dew point or below, and the air’s own at its temperature', () => {
    expect(surfaceHumidity(dewPoint(20 + K, 0.5).temperature, 20 + K, 0.5)).toBeCloseTo(1, 9);
    expect(surfaceHumidity(0 + K, 20 + K, 0.5)).toBe(1);
    expect(surfaceHumidity(20 + K, 20 + K, 0.5)).toBeCloseTo(0.5, 9);
  });

  test.each([['steel', () => steelMargin(2000, 293, 0.5)], ['steel', () => surfaceHumidity(NaN, 293, 0.5)], ['humidity', () => steelMargin(293, 293, 1.4)]])('an impossible %s is refused by name', (name, run) => {
    expect(run).toThrow(new RegExp(name));
  });
});

test('85 % humidity still passes the rule, more does not', () => {
  expect(humidityMargin(HUMIDITY_LIMIT)).toBe(0);
  expect(humidityMargin(0.851)).toBeLessThan(0);
  expect(() => humidityMargin(1.4)).toThrow(/humidity/);
});

describe('plume', () => {
  test.each([
    [90, 270, 'in-plume'],
    [90, 225, 'in-plume'],
    [90, 315, 'in-plume'],
    [90, 224, 'clear'],
    [90, 90, 'clear'],
    [350, 175, 'in-plume'],
    [350, 120, 'clear'],
  ] as const)('wind from %s°, intake at %s°: %s', (from, intake, expected) => {
    expect(intakePlume(from * DEGREE, intake * DEGREE, 4).intake).toBe(expected);
    expect(intakePlume(from * DEGREE, intake * DEGREE).intake).toBe(expected);
  });

  test('calm air has no direction', () => {
    expect(intakePlume(Math.PI, 0, 1.5).intake).toBe('cant-say');
    expect(intakePlume(Math.PI, 0, 1.6).intake).toBe('in-plume');
  });

  test('an angle between bearings is the same both ways, round the circle, and at most a half turn', () => {
    fc.assert(fc.property(bearings, bearings, (one, other) => {
      const angle = angleBetween(one, other);
      expect(angle).toBeGreaterThanOrEqual(0);
      expect(angle).toBeLessThanOrEqual(Math.PI + 1e-9);
      expect(angleBetween(other, one)).toBeCloseTo(angle, 9);
      expect(angleBetween(one + 2 * Math.PI, other)).toBeCloseTo(angle, 9);
    }));
  });

  test('a bearing that isn’t one, or a wind below nothing, is refused', () => {
    expect(() => intakePlume(NaN, 0)).toThrow(/bearing/);
    expect(() => intakePlume(0, 0, -1)).toThrow(/wind speed/);
  });
});
