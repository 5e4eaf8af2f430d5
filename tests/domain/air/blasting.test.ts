import { describe, expect, test } from 'vitest';
import { isBlasting, isFlowing } from '../../../domain/air/blasting.ts';
import { abrasiveRate, timeToEmptyPot } from '../../../domain/air/pot-endurance.ts';
import { type TriggerCycle, type TriggerEvent, blowDownBaseline, isSlowStop, nextTriggerCycle } from '../../../domain/air/trigger-cycle.ts';
import { ventTime } from '../../../domain/air/vent.ts';
import { STANDARD_ATMOSPHERE, gauge } from '../../../domain/quantity/pressure.ts';

const PSI = 6894.757293168361;

test('blasting begins above one pressure and ends below another: noise between them changes nothing', () => {
  let [blasting, changes] = [false, 0];
  for (const psi of [0, 12, 19, 12, 21, 15, 11, 19, 90, 12, 9, 12, 19, 3]) {
    const now = isBlasting(blasting, gauge(psi * PSI));
    if (now !== blasting) changes += 1;
    blasting = now;
  }
  expect(changes).toBe(2);
  expect(() => isBlasting(false, gauge(0), { on: 1, off: 1 })).toThrow(/limits/);
});

test('flow from the loss along the line has the same hysteresis', () => {
  expect(isFlowing(false, 3, 10)).toBe(false);
  expect(isFlowing(true, 3, 10)).toBe(true);
  expect(isFlowing(true, 1, 10)).toBe(false);
  expect(() => isFlowing(true, 1, 0)).toThrow(/usual loss/);
});

describe('handle', () => {
  /** Seconds, held, nozzle psi, pot psi. */
  function run(rows: readonly (readonly [number, boolean, number | null, number | null])[], limits?: { stopMs: number; heldMs: number }): TriggerEvent[] {
    let cycle: TriggerCycle = { state: 'released' };
    const all: TriggerEvent[] = [];
    for (const [seconds, held, nozzle, pot] of rows) {
      const step = nextTriggerCycle(cycle, { atMs: seconds * 1000, held, nozzle: nozzle === null ? null : gauge(nozzle * PSI), pot: pot === null ? null : gauge(pot * PSI) }, limits);
      cycle = step.cycle;
      all.push(...step.events);
    }
    return all;
  }

  test('nozzle stop and blow-down are two times, each told once', () => {
    const events = run([[0, true, 90, 95], [60, true, 90, 95], [61, false, 88, 95], [62, false, 40, 60], [63, false, 6, 20], [65, false, 0, 3], [66, false, 0, 0], [70, false, 0, 0]]);
    expect(events).toEqual([{ kind: 'nozzle-stopped', afterMs: 2000 }, { kind: 'pot-blown-down', afterMs: 4000 }]);
  });

  test('a nozzle that does not stop in time is a failed deadman, told once', () => {
    const events = run([[0, true, 90, 95], [60, false, 90, 95], [64, false, 90, 95], [66, false, 89, 95], [70, false, 88, 95]]);
    expect(events).toEqual([{ kind: 'deadman-failed', afterMs: 6000 }]);
  });

  test('without a nozzle pressure nothing is claimed about stopping', () => {
    expect(run([[0, true, null, 95], [60, false, null, 95], [90, false, null, 95]])).toEqual([]);
  });

  test('a handle held longer than a full pot lasts is told once', () => {
    const events = run([[0, true, 90, 95], [1700, true, 90, 95], [1900, true, 90, 95], [2000, true, 90, 95]], { stopMs: 5000, heldMs: 1_800_000 });
    expect(events).toEqual([{ kind: 'held-too-long', afterMs: 1_900_000 }]);
  });

  test('pressing again before the stop is complete begins a new cycle', () => {
    const events = run([[0, true, 90, 95], [10, false, 60, 90], [11, true, 80, 90], [20, false, 60, 90], [21, false, 0, 0]]);
    expect(events).toEqual([{ kind: 'nozzle-stopped', afterMs: 1000 }, { kind: 'pot-blown-down', afterMs: 1000 }]);
  });

  test('slow is half as long again and a second, at the same fill', () => {
    expect(isSlowStop(3900, 2000)).toBe(false);
    expect(isSlowStop(4100, 2000)).toBe(true);
    expect(blowDownBaseline(2000, 4000, 1)).toBe(2000);
    expect(blowDownBaseline(2000, 4000, 0.5)).toBe(3000);
    expect(() => blowDownBaseline(2000, 4000, 2)).toThrow(/fill/);
    expect(() => isSlowStop(1, NaN)).toThrow(/baseline/);
  });
});

describe('venting', () => {
  const pot = (inches: number, share: number) => ventTime({ volume: share * 6.5 * 0.3048 ** 3, bore: inches * 0.0254, from: gauge(100 * PSI), to: gauge(5 * PSI), atmosphere: STANDARD_ATMOSPHERE });

  test('a 6.5 ft³ pot lets go in 2 to 4 s through 1 in, in 10 to 21 s through the nozzle alone (common practice, no source)', () => {
    expect(pot(1, 1)).toBeGreaterThan(2.8);
    expect(pot(1, 1) * 1.4).toBeLessThan(5);
    expect(pot(1, 0.5)).toBeGreaterThan(1.3);
    expect(pot(1, 0.5) * 1.4).toBeLessThan(2.5);
    expect(pot(7 / 16, 0.55)).toBeGreaterThan(9);
    expect(pot(7 / 16, 1)).toBeLessThan(21);
  });

  test('twice the volume takes twice as long, twice the bore a quarter', () => {
    expect(pot(1, 1) / pot(1, 0.5)).toBeCloseTo(2, 9);
    expect(pot(0.5, 1) / pot(1, 1)).toBeCloseTo(4, 9);
    expect(() => ventTime({ volume: 1, bore: 0.01, from: gauge(1e5), to: gauge(2e5), atmosphere: STANDARD_ATMOSPHERE })).toThrow(/end pressure/);
    expect(() => ventTime({ volume: 0, bore: 0.01, from: gauge(2e5), to: gauge(1e5), atmosphere: STANDARD_ATMOSPHERE })).toThrow(/volume/);
  });
});

describe('pot', () => {
  test('what is left is a range that shrinks as it is blasted and ends at nothing', () => {
    const rate = abrasiveRate(0.145);
    const full = timeToEmptyPot(295, rate, 0);
    expect(full.low / 60).toBeGreaterThan(18);
    expect(full.high / 60).toBeLessThan(37);
    expect(timeToEmptyPot(295, rate, 600).high).toBeCloseTo(full.high - 600, 6);
    expect(timeToEmptyPot(295, rate, 1e6)).toEqual({ low: 0, high: 0 });
    expect(() => timeToEmptyPot(295, { low: 0, high: 1 }, 0)).toThrow(/abrasive rate/);
    expect(() => timeToEmptyPot(295, { low: 2, high: 1 }, 0)).toThrow(/abrasive rate/);
  });
});
