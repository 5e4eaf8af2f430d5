import { describe, expect, it } from 'vitest';
import { SensorClocks } from '../../gateway/sensor-clock.ts';
import type { TakenReading } from '../../gateway/to-reading.ts';
import { NOW } from '../support/server.ts';

const HOUR_MS = 3_600_000;

/** Heard `atMs` after the start, observed `ageMs` before that. */
function heard(atMs: number, ageMs: number): TakenReading {
  return { owner: 'rig-a', point: 'breathing-air-co', value: 2, quality: 'good', reason: null, backlog: false, receivedAtMs: NOW + atMs, observedAtMs: NOW + atMs - ageMs };
}

const SLOW = { backlog: false, quality: 'uncertain', reason: 'clock-suspect' };
const WAITED = { backlog: true, quality: 'good', reason: null };

describe('an old reading', () => {
  it('that waited at a broker while the gateway was away is history, down to the last old one, and what follows is live', () => {
    const clocks = new SensorClocks();
    // Forty seconds at one a second, handed over within half a second.
    for (let n = 0; n < 30; n += 1) expect(clocks.place(heard(n * 12, (40 - n) * 1_000))).toMatchObject({ ...WAITED, observedAtMs: NOW + n * 12 - (40 - n) * 1_000 });
    const live = heard(1_000, 20);
    expect(clocks.place(live)).toBe(live);
  });

  it('that waited for hours is history for as long as it takes to hand the rest over', () => {
    const clocks = new SensorClocks();
    // Ten times as fast as they were observed, for a minute.
    for (let n = 0; n < 600; n += 1) expect(clocks.place(heard(n * 100, HOUR_MS - n * 900))).toMatchObject(WAITED);
  });

  it('of a sensor whose clock is slow counts at its receipt, doubted, once that is certain', () => {
    const clocks = new SensorClocks();
    const placed = Array.from({ length: 80 }, (_, n) => clocks.place(heard(n * 1_000, HOUR_MS + (n % 3) * 100)));
    expect(placed.slice(0, 60).every(({ backlog }) => backlog)).toBe(true);
    for (const [at, reading] of placed.slice(61).entries()) expect(reading).toMatchObject({ ...SLOW, observedAtMs: NOW + (at + 61) * 1_000 });
  });

  it('of a slow clock that is set right is a slow clock’s no longer', () => {
    const clocks = new SensorClocks();
    for (let n = 0; n < 70; n += 1) clocks.place(heard(n * 1_000, HOUR_MS));
    const right = heard(70_000, 30);
    expect(clocks.place(right)).toBe(right);
    expect(clocks.place(heard(71_000, 20_000))).toMatchObject(WAITED);
  });

  it('in packs of a minute tells the clock by the newest of each pack, whose older ones stay history', () => {
    const clocks = new SensorClocks();
    const packs = Array.from({ length: 4 }, (_, pack) => Array.from({ length: 60 }, (_two, n) => clocks.place(heard(pack * 60_000, HOUR_MS + (59 - n) * 1_000))));
    expect(packs.map((readings) => readings.at(-1)?.reason)).toEqual([null, 'clock-suspect', 'clock-suspect', 'clock-suspect']);
    expect(packs.map((readings) => readings[0]?.backlog)).toEqual([true, true, true, true]);
  });

  it('that was bad already stays so, for its own reason', () => {
    const clocks = new SensorClocks();
    const bad = (n: number): TakenReading => ({ ...heard(n * 1_000, HOUR_MS), quality: 'bad', reason: 'out-of-range' });
    expect(Array.from({ length: 70 }, (_, n) => clocks.place(bad(n))).at(-1)).toMatchObject({ backlog: false, quality: 'bad', reason: 'out-of-range', observedAtMs: NOW + 69_000 });
  });
});
