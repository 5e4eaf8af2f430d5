import { expect, it } from 'vitest';
import { markLate } from '../../server/intake/mark-late.ts';
import { NOW, sequenced } from '../support/server.ts';

const SECOND_MS = 1_000;
const late = (point: string, agoMs: number, newestMs: number | null = null): boolean | undefined => markLate([sequenced(point, 1, NOW - agoMs, 1)], () => newestMs, NOW, 'live')[0]?.late;

it('what is older than silence of its point may last is late: ten seconds for the breathing air, else a minute', () => {
  expect([late('breathing-air-co', 9 * SECOND_MS), late('breathing-air-co', 11 * SECOND_MS)]).toEqual([false, true]);
  expect([late('pot-pressure', 59 * SECOND_MS), late('pot-pressure', 61 * SECOND_MS)]).toEqual([false, true]);
});

it('counts by when it was observed, however lately the gateway received it', () => {
  const waited = { ...sequenced('breathing-air-co', 1, NOW - 40 * SECOND_MS, 1), receivedAtMs: NOW - SECOND_MS };
  expect(markLate([waited], () => null, NOW, 'live')[0]?.late).toBe(true);
});

it('so is what came on the backlog lane, was heard as history, or is older than the newest of its point, in the same batch too', () => {
  expect(markLate([sequenced('pot-pressure', 1, NOW, 1)], () => null, NOW, 'backlog')[0]?.late).toBe(true);
  expect(markLate([{ ...sequenced('pot-pressure', 1, NOW, 1), backlog: true }], () => null, NOW, 'live')[0]?.late).toBe(true);
  expect([late('pot-pressure', 2 * SECOND_MS, NOW - SECOND_MS), late('pot-pressure', 2 * SECOND_MS, NOW - 3 * SECOND_MS)]).toEqual([true, false]);
  expect(markLate([sequenced('pot-pressure', 1, NOW, 1), sequenced('pot-pressure', 2, NOW - SECOND_MS, 2)], () => null, NOW, 'live').map((one) => one.late)).toEqual([false, true]);
});
