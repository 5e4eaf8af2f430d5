import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ACTIVITIES, ASSUMED, type Activity, type CoUptake, carboxyhaemoglobin, carboxyhaemoglobinAtRest } from '../../../domain/exposure/carboxyhaemoglobin.ts';
import { absolute, atmosphereAt } from '../../../domain/quantity/pressure.ts';

const PPM = 1e-6;
const activities = fc.constantFrom<Activity>('rest', 'light', 'heavy');
const concentrations = fc.double({ min: 0, max: 5000, noNaN: true }).map((ppm) => ppm * PPM);
const times = fc.double({ min: 0, max: 100_000, noNaN: true });
const initials = fc.double({ min: 0, max: 0.5, noNaN: true });

/** The same differential equation by small Runge–Kutta steps: another way to the same answer. */
function byRungeKutta({ concentration, time, activity, initial = ASSUMED.initial }: CoUptake): number {
  const { diffusion, ventilation } = ACTIVITIES[activity];
  const dry = 101325 / 133.322 - 47;
  const inhaled = concentration * dry;
  const hindrance = 1 / diffusion + dry / ventilation;
  const oxygen = 0.2095 * (dry - inhaled) - 49;
  const rate = (c: number): number => (ASSUMED.production + inhaled / hindrance) / ASSUMED.bloodVolume - (c * oxygen) / (ASSUMED.affinity * ASSUMED.bloodVolume * hindrance * (ASSUMED.capacity - c));
  let c = initial * ASSUMED.capacity;
  const steps = 2000;
  const h = time / 60 / steps;
  for (let i = 0; i < steps; i++) {
    const k1 = rate(c);
    const k2 = rate(c + (h / 2) * k1);
    const k3 = rate(c + (h / 2) * k2);
    const k4 = rate(c + h * k3);
    c += (h / 6) * (k1 + 2 * k2 + 2 * k3 + k4);
  }
  return c / ASSUMED.capacity;
}

describe('carboxyhaemoglobin', () => {
  test.each([[0, 240, 'rest', 0.2], [10, 480, 'light', 0.0075], [50, 480, 'heavy', 0], [200, 60, 'rest', 0.0075], [1000, 20, 'heavy', 0.05]] as const)('%s ppm for %s min, %s: solved exactly as stepped', (ppm, minutes, activity, initial) => {
    const uptake = { concentration: ppm * PPM, time: minutes * 60, activity, initial };
    expect(carboxyhaemoglobin(uptake)).toBeCloseTo(byRungeKutta(uptake), 8);
  });

  test('one stretch or many, over as many rigs, is the same', () => {
    fc.assert(fc.property(concentrations, times, fc.double({ min: 0, max: 1, noNaN: true }), activities, initials, (concentration, time, at, activity, initial) => {
      const whole = carboxyhaemoglobin({ concentration, time, activity, initial });
      const first = carboxyhaemoglobin({ concentration, time: time * at, activity, initial });
      expect(carboxyhaemoglobin({ concentration, time: time * (1 - at), activity, initial: first })).toBeCloseTo(whole, 7);
    }));
  });

  test('stays between where it began and where it ends, and is always a share', () => {
    fc.assert(fc.property(concentrations, times, activities, initials, (concentration, time, activity, initial) => {
      const end = carboxyhaemoglobinAtRest({ concentration, activity });
      const found = carboxyhaemoglobin({ concentration, time, activity, initial });
      expect(found).toBeGreaterThanOrEqual(Math.min(initial, end) - 1e-9);
      expect(found).toBeLessThanOrEqual(Math.max(initial, end) + 1e-9);
    }));
  });

  test('rises with concentration, with work while loading, and falls in clean air', () => {
    const at = (ppm: number, activity: Activity) => carboxyhaemoglobin({ concentration: ppm * PPM, time: 1800, activity });
    expect(at(60, 'rest')).toBeGreaterThan(at(50, 'rest'));
    expect(at(50, 'heavy')).toBeGreaterThan(at(50, 'light'));
    expect(at(50, 'light')).toBeGreaterThan(at(50, 'rest'));
    expect(carboxyhaemoglobin({ concentration: 0, time: 3600, activity: 'rest', initial: 0.1 })).toBeLessThan(0.1);
  });

  test('after days it has settled', () => {
    const uptake = { concentration: 35 * PPM, activity: 'light' as const };
    expect(carboxyhaemoglobin({ ...uptake, time: 1e6 })).toBeCloseTo(carboxyhaemoglobinAtRest(uptake), 9);
  });

  test('height takes up more of the same ppm: oxygen is scarcer', () => {
    const uptake = { concentration: 50 * PPM, activity: 'rest' as const };
    expect(carboxyhaemoglobinAtRest({ ...uptake, atmosphere: atmosphereAt(2000) })).toBeGreaterThan(carboxyhaemoglobinAtRest(uptake));
  });

  test.each<[string, Partial<CoUptake>]>([
    ['concentration', { concentration: 0.2 }],
    ['concentration', { concentration: NaN }],
    ['time', { time: -1 }],
    ['initial', { initial: 1.4 }],
    ['oxygen', { atmosphere: absolute(30_000) }],
  ])('an impossible %s is refused by name', (name, wrong) => {
    expect(() => carboxyhaemoglobin({ concentration: 50 * PPM, time: 60, activity: 'rest', ...wrong })).toThrow(new RegExp(name));
  });
});
