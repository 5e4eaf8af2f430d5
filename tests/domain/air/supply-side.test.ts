import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compressorLoad } from '../../../domain/air/compressor-load.ts';
import { condensate } from '../../../domain/air/condensate.ts';
import { atmosphericDewPoint, pressureDewPoint } from '../../../domain/air/line-moisture.ts';
import { matchZeros } from '../../../domain/air/match-zeros.ts';
import { productionFactor } from '../../../domain/air/production.ts';
import { STANDARD_ATMOSPHERE, absolute, gauge } from '../../../domain/quantity/pressure.ts';

const K = 273.15;
const PSI = 6894.757293168361;
const at = STANDARD_ATMOSPHERE;

describe('line air', () => {
  test('letting air down lowers its dew point, and pressing it up again brings it back', () => {
    fc.assert(fc.property(fc.double({ min: -60, max: 60, noNaN: true }), fc.double({ min: 1e4, max: 1.4e6, noNaN: true }).map(gauge), (pressure, line) => {
      const down = atmosphericDewPoint(pressure + K, line, at);
      expect(down.temperature).toBeLessThan(pressure + K);
      expect(down.phase).toBe(down.temperature <= K ? 'frost' : 'dew');
      // What lands in the formulas' gap at 0 °C comes back a hair off.
      expect(Math.abs(pressureDewPoint(down.temperature, line, at).temperature - pressure - K)).toBeLessThan(0.01);
    }));
  });

  test('at the atmosphere the two dew points are one', () => {
    expect(atmosphericDewPoint(283, gauge(0), at).temperature).toBeCloseTo(283, 6);
  });

  test('height matters: thin air around means a lower atmospheric dew point', () => {
    expect(atmosphericDewPoint(283, gauge(7e5), absolute(80_000)).temperature).toBeLessThan(atmosphericDewPoint(283, gauge(7e5), at).temperature);
  });

  test('air that passes the 10 °F rule still wets a hose colder than its pressure dew point', () => {
    const ambient = 70 - 10;
    const allowed = ((ambient - 32) * 5) / 9 + K;
    expect(pressureDewPoint(allowed, gauge(100 * PSI), at).temperature).toBeGreaterThan(K + 50);
  });

  test('a line below vacuum is refused', () => {
    expect(() => atmosphericDewPoint(283, gauge(-2e5), at)).toThrow(/vacuum/);
    expect(() => pressureDewPoint(1000, gauge(7e5), at)).toThrow(/temperature/);
  });
});

describe('water', () => {
  const usual = { airFlow: 0.3, temperature: 300, relativeHumidity: 0.75, atmosphere: at, line: gauge(100 * PSI), cooledTo: 311 };

  test('what is drawn in is held or separated, colder separates more, and dry air nothing', () => {
    fc.assert(fc.property(fc.double({ min: 275, max: 360, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (cooledTo, relativeHumidity) => {
      const { drawnIn, held, separated } = condensate({ ...usual, cooledTo, relativeHumidity });
      expect(held + separated).toBeCloseTo(drawnIn, 12);
      expect(separated).toBeGreaterThanOrEqual(0);
      expect(condensate({ ...usual, cooledTo: cooledTo - 2, relativeHumidity }).separated).toBeGreaterThanOrEqual(separated);
    }));
    expect(condensate({ ...usual, relativeHumidity: 0 }).separated).toBe(0);
    expect(condensate({ ...usual, cooledTo: 460, line: gauge(0) }).separated).toBe(0);
  });

  test.each<[string, () => unknown]>([['flow', () => condensate({ ...usual, airFlow: -1 })], ['humidity', () => condensate({ ...usual, relativeHumidity: 1.4 })], ['vacuum', () => condensate({ ...usual, line: gauge(-2e5) })]])('an impossible %s is refused by name', (name, run) => {
    expect(run).toThrow(new RegExp(name));
  });
});

describe('compressor', () => {
  test('adds all rigs and the breathing air against the rating', () => {
    expect(compressorLoad(1, [0.25, 0.25, 0.1])).toMatchObject({ load: 0.6, hasAdvisedReserve: true });
    expect(compressorLoad(1, [0.7]).hasAdvisedReserve).toBe(false);
    expect(compressorLoad(1, [1.25]).reserve).toBeCloseTo(-0.2, 9);
    expect(compressorLoad(1, [])).toEqual({ demand: 0, load: 0, reserve: null, hasAdvisedReserve: true });
    expect(() => compressorLoad(0, [1])).toThrow(/rated flow/);
    expect(() => compressorLoad(1, [-1])).toThrow(/demand/);
  });
});

describe('production', () => {
  test('goes with pressure, at the reference it is one, and never below nothing', () => {
    const factor = (psi: number) => productionFactor(gauge(psi * PSI), gauge(100 * PSI));
    expect(factor(100)).toBe(1);
    expect(factor(0)).toBe(0);
    expect(factor(110)).toBeCloseTo(1.15, 9);
    expect(() => factor(-3)).toThrow(/pressure/);
    expect(() => productionFactor(gauge(1e5), gauge(0))).toThrow(/reference/);
  });
});

describe('zeros matched at rest', () => {
  const atRest = new Map([['compressor', 100 * PSI], ['machine', 101 * PSI], ['nozzle', 93 * PSI]]);

  test('against the reference gauge, or the median of all', () => {
    expect(matchZeros(atRest, 5 * PSI, 'compressor').map((one) => Math.round(one.offset / PSI))).toEqual([0, 1, -7]);
    expect(matchZeros(atRest, 5 * PSI).map((one) => Math.round(one.offset / PSI))).toEqual([0, 1, -7]);
  });

  test('an offset too large is a fault, not a zero', () => {
    expect(matchZeros(atRest, 5 * PSI).map((one) => one.plausible)).toEqual([true, true, false]);
  });

  test('one gauge has nothing to agree with', () => {
    expect(() => matchZeros(new Map([['a', 1]]), 1)).toThrow(/at least two/);
    expect(() => matchZeros(atRest, 1, 'other')).toThrow(/reference gauge/);
    expect(() => matchZeros(atRest, 0)).toThrow(/zero error/);
  });
});
