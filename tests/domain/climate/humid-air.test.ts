import fc from 'fast-check';
import psychrolib from 'psychrolib';
import { describe, expect, test } from 'vitest';
import { density, dewPoint, dewPointOf, humidityRatio, humidityRatioFromWetBulb, humidityRatioOf, saturationPressure, supercooledDewPointOf, supercooledSaturationPressure, wetBulb } from '../../../domain/climate/humid-air.ts';
import { STANDARD_ATMOSPHERE, absolute } from '../../../domain/quantity/pressure.ts';

psychrolib.SetUnitSystem(psychrolib.SI);
const K = 273.15;
const temperatures = fc.double({ min: -40, max: 60, noNaN: true });
const humidities = fc.double({ min: 0.01, max: 1, noNaN: true });
const atmospheres = fc.double({ min: 60_000, max: 105_000, noNaN: true }).map(absolute);

describe('against a psychrometric library', () => {
  const grid = [-30, -10, -1, 1, 10, 20, 30, 45].flatMap((t) => [0.05, 0.3, 0.6, 0.85, 1].map((rh) => [t, rh] as const));

  test.each(grid)('%s °C, humidity %s: dew point, humidity ratio and density agree', (t, rh) => {
    expect(saturationPressure(t + K)).toBeCloseTo(psychrolib.GetSatVapPres(t), 6);
    expect(dewPoint(t + K, rh).temperature - K).toBeCloseTo(psychrolib.GetTDewPointFromRelHum(t, rh), 2);
    const ratio = psychrolib.GetHumRatioFromRelHum(t, rh, 95_000);
    // The library does not go below 1e-7.
    expect(humidityRatio(t + K, rh, absolute(95_000)) / ratio).toBeCloseTo(1, 6);
    expect(density(t + K, ratio, absolute(95_000))).toBeCloseTo(psychrolib.GetMoistAirDensity(t, ratio, 95_000), 4);
  });

  test.each(grid.filter(([t]) => t <= -10 || t >= 20))('%s °C, humidity %s: wet bulb agrees', (t, rh) => {
    const theirs = psychrolib.GetTWetBulbFromRelHum(t, rh, 95_000);
    // Between a wet and an iced wick the two choose differently.
    if (Math.abs(theirs) > 1) expect(wetBulb(t + K, rh, absolute(95_000)) - K).toBeCloseTo(theirs, 2);
  });
});

/** IAPWS R7-97 equation 30, verified below at its own published value; another formula than ours. */
function steamSaturation(t: number): number {
  const n = [0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5, -0.32325550322333e7, 0.1491510861353e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3] as const;
  const v = t + n[8] / (t - n[9]);
  const [a, b, c] = [v * v + n[0] * v + n[1], n[2] * v * v + n[3] * v + n[4], n[5] * v * v + n[6] * v + n[7]];
  return 1e6 * ((2 * c) / (-b + Math.sqrt(b * b - 4 * a * c))) ** 4;
}

test('saturation stays within 400 ppm of the industrial steam formula from 1 to 180 °C', () => {
  expect(steamSaturation(300)).toBeCloseTo(3536.58941, 4);
  for (let t = 1; t <= 180; t++) expect(Math.abs(saturationPressure(t + K) / steamSaturation(t + K) - 1), `${t} °C`).toBeLessThan(400e-6);
});

test('saturation stays within 0.4 % of the Magnus formula of the WMO guide', () => {
  for (let t = 0; t <= 50; t++) expect(Math.abs(saturationPressure(t + K) / (611.2 * Math.exp((17.62 * t) / (243.12 + t))) - 1), `${t} °C`).toBeLessThan(0.004);
  for (let t = -50; t < 0; t++) expect(Math.abs(saturationPressure(t + K) / (611.2 * Math.exp((22.46 * t) / (272.62 + t))) - 1), `${t} °C`).toBeLessThan(0.005);
});

describe('properties', () => {
  test('saturation rises with temperature, over the step at 0 °C too', () => {
    fc.assert(fc.property(fc.double({ min: -99.9, max: 198.9, noNaN: true }), fc.double({ min: 1e-6, max: 1, noNaN: true }), (t, more) => saturationPressure(t + more + K) > saturationPressure(t + K)));
    expect(saturationPressure(K)).toBeGreaterThan(saturationPressure(K - 1e-9));
  });

  test('the dew point rises with humidity and never passes the temperature', () => {
    fc.assert(fc.property(temperatures, humidities, humidities, (t, one, other) => {
      const [low, high] = one < other ? [one, other] : [other, one];
      const [a, b] = [dewPoint(t + K, low).temperature, dewPoint(t + K, high).temperature];
      return a <= b + 1e-9 && b <= t + K && (high - low < 1e-9 || a < b || Math.abs(a - K) < 0.02);
    }));
  });

  test('vapour pressure → dew point → vapour pressure comes back', () => {
    fc.assert(fc.property(fc.double({ min: 0.01, max: 1e6, noNaN: true }), (pressure) => {
      const { temperature, phase } = dewPointOf(pressure);
      expect(phase).toBe(temperature < K || (temperature === K && pressure < saturationPressure(K)) ? 'frost' : 'dew');
      // Between ice and water at 0 °C the formulas leave a gap of 100 ppm.
      expect(Math.abs(saturationPressure(temperature) / pressure - 1)).toBeLessThan(temperature === K ? 1.1e-4 : 1e-9);
    }));
  });

  test('the wet bulb lies between dew point and temperature and gives the humidity ratio back', () => {
    fc.assert(fc.property(temperatures, humidities, atmospheres, (t, rh, atmosphere) => {
      const wet = wetBulb(t + K, rh, atmosphere);
      expect(wet).toBeLessThanOrEqual(t + K);
      expect(wet).toBeGreaterThanOrEqual(dewPoint(t + K, rh).temperature - 0.02);
      if (rh < 0.9999 && Math.abs(wet - K) > 0.01 && Math.abs(t) > 0.01) {
        expect(humidityRatioFromWetBulb(t + K, wet, atmosphere)).toBeCloseTo(humidityRatio(t + K, rh, atmosphere), 9);
      }
    }));
  });

  test('the wet bulb rises with humidity', () => {
    fc.assert(fc.property(temperatures, humidities, humidities, atmospheres, (t, one, other, atmosphere) => {
      const [low, high] = one < other ? [one, other] : [other, one];
      return wetBulb(t + K, low, atmosphere) <= wetBulb(t + K, high, atmosphere) + 1e-9;
    }));
  });

  test('dry air has a wet bulb and no water, but no dew point', () => {
    expect(humidityRatio(293.15, 0, STANDARD_ATMOSPHERE)).toBe(0);
    expect(wetBulb(293.15, 0, STANDARD_ATMOSPHERE)).toBeLessThan(280);
    expect(() => dewPoint(293.15, 0)).toThrow(/humidity/);
  });

  test('humid air is lighter than dry air, and never NaN', () => {
    fc.assert(fc.property(temperatures, humidities, atmospheres, (t, rh, atmosphere) => {
      const humid = density(t + K, humidityRatio(t + K, rh, atmosphere), atmosphere);
      return humid > 0 && humid <= density(t + K, 0, atmosphere);
    }));
  });
});

test('frost and supercooled dew differ by up to 2.4 °C and meet at 0 °C', () => {
  const pressure = saturationPressure(K - 20);
  expect(supercooledDewPointOf(pressure)).toBeLessThan(K - 20);
  expect(K - 20 - supercooledDewPointOf(pressure)).toBeCloseTo(2.2, 0);
  expect(supercooledSaturationPressure(K)).toBe(saturationPressure(K));
});

test.each([
  ['humidity', () => dewPoint(293.15, 1.4)],
  ['humidity', () => dewPoint(293.15, -0.1)],
  ['humidity', () => humidityRatio(293.15, NaN, STANDARD_ATMOSPHERE)],
  ['temperature', () => dewPoint(2930, 0.5)],
  ['temperature', () => saturationPressure(100)],
  ['temperature', () => saturationPressure(NaN)],
  ['vapour pressure', () => dewPointOf(0)],
  ['vapour pressure', () => dewPointOf(1e9)],
  ['vapour pressure', () => humidityRatioOf(2e5, STANDARD_ATMOSPHERE)],
  ['vapour pressure', () => humidityRatio(393.15, 1, STANDARD_ATMOSPHERE)],
  ['wet bulb', () => humidityRatioFromWetBulb(293.15, 300, STANDARD_ATMOSPHERE)],
  ['wet bulb', () => humidityRatioFromWetBulb(313.15, 273.2, STANDARD_ATMOSPHERE)],
  ['humidity ratio', () => density(293.15, -1, STANDARD_ATMOSPHERE)],
])('an impossible %s is refused by name', (name, run) => {
  expect(run).toThrow(RangeError);
  expect(run).toThrow(new RegExp(name));
});
