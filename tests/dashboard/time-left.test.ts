import { describe, expect, it } from 'vitest';
import type { Column } from '../../dashboard/chart/column.ts';
import { timeLeftS } from '../../dashboard/watch/recent/time-left.ts';
import { notGood, point } from './support/fabricated-site.ts';

const STEP_MS = 5_000;
const STEPS = 120;

/** Ten minutes of a value at one step each, on the grid of a tenth. */
function column(valueAt: (step: number) => number): Column {
  const steps = [...Array(STEPS).keys()];
  const values = steps.map((step) => Math.round(valueAt(step) * 10) / 10);
  return { atMs: steps.map((step) => step * STEP_MS), min: values, max: values };
}

function noise(seed: number, hangsTogether: number): () => number {
  let state = seed;
  let before = 0;
  const random = (): number => (state = (state * 16_807) % 2_147_483_647) / 2_147_483_647;
  return () => (before = hangsTogether * before + Math.sqrt(1 - hangsTogether ** 2) * (random() + random() + random() + random() - 2) * 1.7);
}

const co = (value: number) => point('rig-a', 'breathing-air-co', value, 0, [10, 'high']);

describe('time left', () => {
  it('is told where a value drifts to its limit, and about right', () => {
    const wobble = noise(7, 0.3);
    // 2 ppm in ten minutes: 3 ppm more take a quarter of an hour.
    const left = timeLeftS(co(7), column((step) => 5 + (2 * step) / STEPS + wobble() * 0.15));
    expect(left).toBeGreaterThan(11 * 60);
    expect(left).toBeLessThan(20 * 60);
    const down = timeLeftS(point('rig-a', 'breathing-air-pressure', 52, 0, [40, 'low'], [100, 'high']), column((step) => 60 - (8 * step) / STEPS));
    expect(down).toBeGreaterThan(13 * 60);
    expect(down).toBeLessThan(17 * 60);
  });

  it('is not told from noise, however it hangs together', () => {
    let told = 0;
    const rounds = 600;
    for (let seed = 1; seed <= rounds; seed += 1) {
      const wobble = noise(seed * 7_919, [0, 0.7, 0.95][seed % 3] as number);
      if (timeLeftS(co(6), column(() => 6 + wobble())) !== null) told += 1;
    }
    expect(told / rounds).toBeLessThan(0.01);
  });

  it('is not told of a value that moves away, that is not good, that has gone too far to wait for, or that moves with the handle', () => {
    const rising = column((step) => 5 + (2 * step) / STEPS);
    const falling = column((step) => 7 - (2 * step) / STEPS);
    expect(timeLeftS(co(5), falling)).toBeNull();
    expect(timeLeftS(notGood(co(7), 'stale'), rising)).toBeNull();
    expect(timeLeftS(co(5.2), column((step) => 5 + (0.2 * step) / STEPS))).toBeNull();
    expect(timeLeftS(point('rig-a', 'supply-pressure', 80, 0, [60, 'low']), column((step) => 100 - (20 * step) / STEPS))).toBeNull();
    expect(timeLeftS(co(7), { atMs: [0], min: [7], max: [7] })).toBeNull();
    expect(timeLeftS(undefined, rising)).toBeNull();
  });
});
