import { describe, expect, test } from 'vitest';
import { estimateNozzlePressure } from '../../../domain/air/estimate-nozzle-pressure.ts';
import { STANDARD_ATMOSPHERE, gauge } from '../../../domain/quantity/pressure.ts';
import { chance, otherNozzlePressure } from './line-physics.ts';

const INCH = 0.0254;
const FOOT = 0.3048;
const PSI = 6894.757293168361;
const hose = { bore: 1.25 * INCH, length: 100 * FOOT };
const nozzle = { bore: (7 / 16) * INCH };
const rig = { bore: nozzle.bore, hoseBore: hose.bore, hoseLength: hose.length, friction: 1.5, coefficient: 0.84 };
const base = { atmosphere: STANDARD_ATMOSPHERE, hose, nozzle, gaugeStandardError: 0.5 * PSI };

describe('nozzle pressure computed between needle readings', () => {
  test('follows the machine pressure, with the needle’s reading as its anchor', () => {
    const needle = { machine: gauge(105 * PSI), nozzle: gauge(otherNozzlePressure(rig, 105 * PSI)) };
    for (const machine of [70, 90, 105, 120]) {
      const found = estimateNozzlePressure({ ...base, machine: gauge(machine * PSI), needle });
      expect(Math.abs((found?.value ?? 0) - otherNozzlePressure(rig, machine * PSI)) / PSI).toBeLessThan(0.3);
    }
  });

  test('its interval holds the truth in 95 of 100 cases', () => {
    let inside = 0;
    for (let seed = 1; seed <= 600; seed++) {
      const { normal, even } = chance(seed);
      const error = normal(0.5 * PSI);
      const other = { ...rig, friction: even(1.2, 1.8) };
      const [then, now] = [even(95, 110) * PSI, even(80, 120) * PSI];
      const needle = { machine: gauge(then + error), nozzle: gauge(otherNozzlePressure(other, then) + normal(0.5 * PSI)) };
      const found = estimateNozzlePressure({ ...base, machine: gauge(now + error), needle, frictionDrift: 0.05 });
      const truth = otherNozzlePressure({ ...other, friction: other.friction * (1 + normal(0.05)) }, now);
      if (found && found.low <= truth && truth <= found.high) inside += 1;
    }
    expect(inside / 600).toBeGreaterThan(0.93);
    expect(inside / 600).toBeLessThan(0.98);
  });

  test('a fresh needle reading narrows what is otherwise only known widely', () => {
    const needle = { machine: gauge(105 * PSI), nozzle: gauge(96 * PSI) };
    const width = (one: ReturnType<typeof estimateNozzlePressure>): number => (one ? one.high - one.low : NaN);
    const without = estimateNozzlePressure({ ...base, machine: gauge(105 * PSI) });
    const fresh = estimateNozzlePressure({ ...base, machine: gauge(105 * PSI), needle, needleStandardError: 0.25 * PSI });
    const aged = estimateNozzlePressure({ ...base, machine: gauge(105 * PSI), needle, needleStandardError: 0.25 * PSI, frictionDrift: 0.2 });
    expect(width(fresh)).toBeLessThan(width(without));
    expect(width(aged)).toBeGreaterThan(width(fresh));
    expect(fresh?.value).toBeCloseTo(96 * PSI, -1);
  });

  test('the machine gauge’s own error cancels: it read both moments', () => {
    const needle = { machine: gauge(105 * PSI), nozzle: gauge(96 * PSI) };
    const found = estimateNozzlePressure({ ...base, machine: gauge(105 * PSI), needle, gaugeStandardError: 2 * PSI, needleStandardError: 0.25 * PSI, frictionDrift: 0 });
    expect(((found?.high ?? 0) - (found?.low ?? 0)) / PSI).toBeCloseTo(2 * 1.96 * 0.25, 1);
  });

  test('without pressure it is the machine’s, and a needle reading above the machine is of no use', () => {
    expect(estimateNozzlePressure({ ...base, machine: gauge(0) })?.value).toBe(0);
    expect(estimateNozzlePressure({ ...base, machine: gauge(100 * PSI), needle: { machine: gauge(90 * PSI), nozzle: gauge(95 * PSI) } })).toBeUndefined();
    expect(() => estimateNozzlePressure({ ...base, nozzle: { bore: 0 }, machine: gauge(1e5) })).toThrow(/bore/);
  });
});
