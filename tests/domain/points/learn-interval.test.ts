import { describe, expect, it } from 'vitest';
import { needPointKind, POINT_KINDS } from '../../../domain/points/catalogue.ts';
import { learnsInterval, learntEveryMs, withGap } from '../../../domain/points/learn-interval.ts';
import { takeReading, tellInterval, unseenPoint } from '../../../domain/site/point-state.ts';
import { seeded } from '../../support/seeded.ts';

const STEEL = needPointKind('steel-temperature');
const after = (gaps: readonly number[]): readonly number[] => gaps.reduce<readonly number[]>((kept, gap) => withGap(kept, gap, STEEL), []);
const learnt = (...gaps: readonly number[]): number => learntEveryMs(after(gaps), STEEL);
const MIN = 60_000;

describe('the interval that is learnt', () => {
  it.each([
    ['a quick sensor: nothing is kept', [10_000, 10_000, 9_000, 11_000, 10_000, 10_000], 10_000],
    ['too few gaps', [2 * MIN, 2 * MIN, 2 * MIN, 2 * MIN], 10_000],
    ['five gaps', [2 * MIN, 2 * MIN, 2 * MIN, 2 * MIN, 2 * MIN], 2 * MIN],
    ['an outage between them', [2 * MIN, 2 * MIN, 2 * MIN, 600 * MIN, 2 * MIN, 2 * MIN, 2 * MIN], 2 * MIN],
    ['a sensor that drops out: slow by its median, and irregular', [3 * MIN, 6_000, 4 * MIN, 5 * MIN, 6_000, 2 * MIN, 6_000, 3 * MIN, 4 * MIN], 10_000],
    ['slower than five minutes: bounded', Array.from({ length: 9 }, () => 12 * MIN), 5 * MIN],
    ['sent twice at once, and a clock that goes back', [2 * MIN, 0, 2 * MIN, -5_000, 2 * MIN, 2 * MIN, 2 * MIN], 2 * MIN],
  ])('%s', (_what, gaps, every) => {
    expect(learnt(...gaps)).toBe(every);
  });

  it('is never shorter than the kind’s own nor longer than five minutes, whatever arrives', () => {
    const next = seeded(8);
    let widened = 0;
    for (let run = 0; run < 2_000; run += 1) {
      const usual = 1_000 * 10 ** (next() * 3);
      const every = learnt(...Array.from({ length: 12 }, () => Math.round(usual * (0.5 + next()))));
      expect(every).toBeGreaterThanOrEqual(STEEL.everyMs);
      expect(every).toBeLessThanOrEqual(5 * MIN);
      if (every > STEEL.everyMs) widened += 1;
    }
    expect(widened).toBeGreaterThan(100);
  });

  it('is of no breathing air, no dangerous side, no state and nothing computed', () => {
    expect(POINT_KINDS.filter(learnsInterval).map(({ id }) => id)).toEqual([
      'separator-pressure', 'air-line-dew-point', 'separator-temperature', 'steel-temperature', 'containment-suction', 'compressor-pressure', 'compressor-temperature', 'air-flow',
      'ambient-temperature', 'ambient-humidity', 'barometric-pressure', 'wind-direction', 'wind-speed',
    ]);
  });
});

it('what the site says holds, from the moment it says so, and is learnt anew when it no longer does', () => {
  const state = unseenPoint('rig-a', 'steel-temperature', null, 0);
  const read = (atMs: number): void => takeReading(state, { owner: 'rig-a', point: 'steel-temperature', observedAtMs: atMs, receivedAtMs: atMs, value: 15, quality: 'good', reason: null }, atMs);
  for (let n = 0; n < 8; n += 1) read(n * 2 * MIN);
  expect([state.everyMs, state.staleAtMs]).toEqual([2 * MIN, 14 * MIN + 6 * MIN]);
  tellInterval(state, null);
  expect(state.everyMs).toBe(2 * MIN);
  tellInterval(state, 30_000);
  for (let n = 8; n < 16; n += 1) read(n * 2 * MIN);
  expect([state.everyMs, state.gaps, state.staleAtMs]).toEqual([30_000, null, 30 * MIN + 90_000]);
  tellInterval(state, null);
  expect([state.everyMs, state.gaps]).toEqual([10_000, []]);
});
