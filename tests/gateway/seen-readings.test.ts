import { expect, it } from 'vitest';
import type { Reading } from '../../domain/points/reading.ts';
import { SEEN_READINGS, SeenReadings } from '../../gateway/seen-readings.ts';
import { NOW } from '../support/server.ts';

const of = (point: string, n: number): Reading => ({ owner: 'rig-a', point, observedAtMs: NOW + n * 100, receivedAtMs: NOW + n * 100 + 7, value: n, quality: 'good', reason: null });
const many = (point: string, count: number): Reading[] => Array.from({ length: count }, (_, n) => of(point, n));

it('knows again all that a broker had queued for minutes, and forgets the oldest beyond its bound', () => {
  const seen = new SeenReadings();
  seen.add(many('pot-pressure', 10_000));
  seen.add(many('breathing-air-co', 100));
  expect(many('pot-pressure', 10_000).every((reading) => seen.has(reading))).toBe(true);
  expect(seen.has(of('pot-pressure', 10_000))).toBe(false);
  seen.add(many('supply-pressure', SEEN_READINGS));
  expect(seen.has(of('supply-pressure', 0))).toBe(false);
  expect(seen.has(of('supply-pressure', SEEN_READINGS - 1))).toBe(true);
  expect(seen.has(of('breathing-air-co', 0))).toBe(true);
});

it('forgets what did not come to the disk: it may come again', () => {
  const seen = new SeenReadings();
  seen.add(many('pot-pressure', 3));
  seen.remove([of('pot-pressure', 1)]);
  expect([0, 1, 2].map((n) => seen.has(of('pot-pressure', n)))).toEqual([true, false, true]);
});
