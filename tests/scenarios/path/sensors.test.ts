import { expect, it } from 'vitest';
import { SCENARIOS } from '../../../simulator/simulation.ts';
import { AIR, LINE, SENSORS, WEATHER } from './expectations.ts';
import { expectPaths } from './expect-path.ts';
import { recordOf } from './walk-path.ts';

it('every scenario says what it must raise', () => {
  expect([...AIR, ...LINE, ...WEATHER, ...SENSORS].map(({ scenario }) => scenario).sort()).toEqual(SCENARIOS.map(({ name }) => name).sort());
});

expectPaths(SENSORS, {
  // What was kept while the network was cut is all in the record, at the seconds at which it was measured, and raised nothing late.
  'network-cut': async (walked) => {
    const atMs = await recordOf(walked, 'rig-a', 'breathing-air-co', 0, 300);
    expect(new Set(atMs.map((ms) => Math.floor(ms / 1000))).size).toBeGreaterThanOrEqual(299);
    expect(walked.announced.filter(({ s, priority }) => s > 300 && priority !== 'low')).toEqual([]);
  },
  // A clock that can't be right is put aside: the readings are live, at the time of receipt, and say why they are doubtful.
  'clock-off': async (walked) => {
    const { items } = await walked.get('/api/rigs/rig-a/points');
    const { quality, reason, ageMs } = items.find(({ id }: { id: string }) => id === 'supply-pressure');
    expect({ quality, reason, isFresh: ageMs < 5000 }).toEqual({ quality: 'uncertain', reason: 'clock-suspect', isFresh: true });
  },
  'badly-set-up': async ({ get, liveFromMs }) => {
    const from = encodeURIComponent(new Date(liveFromMs - 600_000).toISOString());
    const { items } = await get(`/api/alarms/metrics?from=${from}`);
    expect(items[0].chattering.map(({ name }: { name: string }) => name)).toContain('supply-pressure-low');
    expect(items[0].floods).toBeGreaterThan(0);
  },
});
