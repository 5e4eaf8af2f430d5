import { describe, expect, test } from 'vitest';
import { WEAR_LIMIT, boreChange } from '../../../domain/air/bore-change.ts';
import { STANDARD_ATMOSPHERE, gauge } from '../../../domain/quantity/pressure.ts';
import { chance, otherNozzlePressure } from './line-physics.ts';

const INCH = 0.0254;
const FOOT = 0.3048;
const PSI = 6894.757293168361;
const HOSE = { bore: 1.25 * INCH, length: 100 * FOOT };
const NEW_BORE = (7 / 16) * INCH;
/** 0.5 % of a 200 psi gauge as a 95 % limit. */
const GAUGE = (0.005 * 200 * PSI) / 1.96;

/** Readings of a rig we don't know: friction and coefficient ±10 %, gauges with their error, friction drifted meanwhile. */
function simulate(seed: number, wornBy: number, drift: number, gaugeError: number) {
  const { even, normal } = chance(seed);
  const rig = { bore: NEW_BORE, hoseBore: HOSE.bore, hoseLength: HOSE.length, friction: 1.4 * even(0.9, 1.1), coefficient: 0.8 * even(0.9, 1.1) };
  const later = { ...rig, bore: NEW_BORE + wornBy, friction: rig.friction * (1 + normal(drift)) };
  const read = (pressure: number) => gauge(pressure + normal(gaugeError));
  const [machine0, machine1] = [even(95, 110) * PSI, even(95, 110) * PSI];
  return {
    hose: HOSE,
    atmosphere: STANDARD_ATMOSPHERE,
    baseline: { bore: NEW_BORE, machine: read(machine0), nozzle: read(otherNozzlePressure(rig, machine0)) },
    now: { machine: read(machine1), nozzle: read(otherNozzlePressure(later, machine1)) },
    gaugeStandardError: gaugeError,
    frictionDrift: drift,
  };
}

/** In this rig abrasive follows the air in proportion, the edge of what the estimate allows for; in the simulator's it stays as the valve stands. */
describe('change of bore since a plug-gauged baseline', () => {
  test('without errors the bore comes back to 2 % though friction law and coefficient are not ours', () => {
    for (const wornBy of [0, 0.5e-3, 1e-3, WEAR_LIMIT, 2.5e-3]) {
      const found = boreChange(simulate(1, wornBy, 0, 0));
      expect(Math.abs((found?.bore.value ?? 0) / (NEW_BORE + wornBy) - 1)).toBeLessThan(0.02);
    }
  });

  test('with 0.5 % gauges the truth lies within the stated interval in over 92 of 100 cases, and not always', () => {
    let [inside, told, width] = [0, 0, 0];
    const cases = 2000;
    for (let seed = 1; seed <= cases; seed++) {
      const wornBy = chance(seed + 77_777).even(0, 2.4e-3);
      const found = boreChange(simulate(seed, wornBy, 0.05, GAUGE));
      if (!found) continue;
      told += 1;
      width += (found.change.high - found.change.low) / 2;
      if (found.change.low <= wornBy && wornBy <= found.change.high) inside += 1;
    }
    expect(told).toBe(cases);
    expect(inside / told).toBeGreaterThan(0.92);
    expect(inside / told).toBeLessThan(0.985);
    // Half the interval, against the wear limit of 1.6 mm: about ±0.9 mm, enough to see a worn nozzle coming, not to replace the plug gauge.
    expect((width / told) * 1000).toBeGreaterThan(0.3);
    expect((width / told) * 1000).toBeLessThan(0.95);
  });

  test('a nozzle worn well past the limit is called worn, a new one is not', () => {
    expect(boreChange(simulate(3, 2.6e-3, 0, GAUGE / 4))?.wear).toBe('worn');
    expect(boreChange(simulate(3, 0, 0, GAUGE / 4))?.wear).toBe('not-worn');
    expect(boreChange(simulate(3, WEAR_LIMIT, 0, GAUGE))?.wear).toBe('may-be-worn');
  });

  test('a loss that the gauges can’t see gives no bore rather than a guess', () => {
    const rig = { bore: (1 / 4) * INCH, hoseBore: 1.5 * INCH, hoseLength: 25 * FOOT, friction: 1.4, coefficient: 0.8 };
    const machine = 100 * PSI;
    const pair = { machine: gauge(machine), nozzle: gauge(otherNozzlePressure(rig, machine)) };
    expect(pair.machine - pair.nozzle).toBeLessThan(0.5 * PSI);
    expect(boreChange({ hose: { bore: rig.hoseBore, length: rig.hoseLength }, atmosphere: STANDARD_ATMOSPHERE, baseline: { ...pair, bore: rig.bore }, now: pair, gaugeStandardError: GAUGE })).toBeUndefined();
  });

  test('coarser gauges widen the interval, and the answer says when it can’t tell wear', () => {
    const fine = boreChange(simulate(5, 1e-3, 0, GAUGE / 4));
    const coarse = boreChange({ ...simulate(5, 1e-3, 0, GAUGE / 4), gaugeStandardError: 2 * GAUGE });
    const width = (one: typeof fine): number => (one ? one.change.high - one.change.low : NaN);
    expect(width(coarse)).toBeGreaterThan(2 * width(fine));
    expect(fine?.tellsWear).toBe(true);
    expect(coarse?.tellsWear).toBe(false);
  });

  test('a bore of nothing is refused by name', () => {
    const question = simulate(1, 0, 0, GAUGE);
    expect(() => boreChange({ ...question, baseline: { ...question.baseline, bore: 0 } })).toThrow(/baseline bore/);
    expect(() => boreChange({ ...question, gaugeStandardError: -1 })).toThrow(/gauge error/);
  });
});
