import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { holdTime, leak } from '../../../domain/air/leak.ts';
import { gauge } from '../../../domain/quantity/pressure.ts';
import { chance } from './line-physics.ts';

const PSI = 6894.757293168361;
const FT3 = 0.3048 ** 3;
const test100 = { volume: 2 * FT3, from: gauge(100 * PSI), to: gauge(97 * PSI), time: 60 };

describe('hold test', () => {
  test('the leak is what the volume lost, and grows with fall and volume and falls with time', () => {
    expect(leak(test100).value).toBeCloseTo((3 * PSI * 2 * FT3) / (287.05 * 293.15 * 60), 12);
    fc.assert(fc.property(fc.double({ min: 0.01, max: 1, noNaN: true }), fc.double({ min: 1, max: 600, noNaN: true }), (volume, time) => {
      const one = leak({ ...test100, volume, time }).value;
      return leak({ ...test100, volume: volume * 1.1, time }).value > one && leak({ ...test100, volume, time: time * 1.1 }).value < one;
    }));
  });

  test('a pressure that rose is a leak below zero: something is open or warming', () => {
    expect(leak({ ...test100, to: gauge(101 * PSI) }).value).toBeLessThan(0);
  });

  test('gauge, volume and warming widen the interval, and it holds the truth as often as it says', () => {
    const errors = { gaugeStandardError: 0.3 * PSI, volumeStandardError: 0.05, temperatureChangeStandardError: 0.3 };
    const truth = leak(test100).value;
    const { normal } = chance(9);
    let inside = 0;
    for (let i = 0; i < 1500; i++) {
      const warming = (115 * PSI * normal(0.3)) / 293.15;
      const found = leak({ ...test100, ...errors, volume: test100.volume * (1 + normal(0.05)), from: gauge(test100.from + normal(0.3 * PSI)), to: gauge(test100.to + warming + normal(0.3 * PSI)) });
      if (found.low <= truth && truth <= found.high) inside += 1;
    }
    expect(inside / 1500).toBeGreaterThan(0.93);
    expect(inside / 1500).toBeLessThan(0.975);
  });

  test('how long to hold: what would be found then is just beyond the gauge’s error', () => {
    const wanted = 0.0005;
    const time = holdTime({ volume: test100.volume, leak: wanted, gaugeStandardError: 0.1 * PSI });
    const fall = (wanted * 287.05 * 293.15 * time) / test100.volume;
    expect(leak({ ...test100, to: gauge(test100.from - fall), time, gaugeStandardError: 0.1 * PSI }).low).toBeCloseTo(0, 9);
  });

  test.each<[string, () => unknown]>([
    ['volume', () => leak({ ...test100, volume: 0 })],
    ['time', () => leak({ ...test100, time: 0 })],
    ['temperature', () => leak({ ...test100, temperature: 0 })],
    ['gauge error', () => leak({ ...test100, gaugeStandardError: -1 })],
    ['leak', () => holdTime({ volume: 1, leak: 0, gaugeStandardError: 1 })],
  ])('an impossible %s is refused by name', (name, run) => {
    expect(run).toThrow(new RegExp(name));
  });
});
