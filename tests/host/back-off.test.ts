import { expect, it } from 'vitest';
import { backOffMs } from '../../host/back-off.ts';

const PACE = { firstMs: 250, longestMs: 15_000 };

it('backs off exponentially with full jitter, within bounds', () => {
  expect([0, 1, 2, 3].map((failures) => backOffMs(failures, 1, PACE))).toEqual([250, 500, 1000, 2000]);
  expect(backOffMs(40, 1, PACE)).toBe(15_000);
  expect(backOffMs(5, 0, PACE)).toBe(0);
});
