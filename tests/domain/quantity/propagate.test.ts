import { expect, test } from 'vitest';
import { propagate } from '../../../domain/quantity/propagate.ts';

test('independent errors add as squares', () => {
  const sum = propagate((a = 0, b = 0) => a + b, [{ value: 1, standardError: 3 }, { value: 2, standardError: 4 }]);
  expect(sum?.value).toBe(3);
  expect(sum?.high).toBeCloseTo(3 + 1.96 * 5, 9);
  expect(sum?.low).toBeCloseTo(3 - 1.96 * 5, 9);
});

test('a crooked function gives a crooked interval', () => {
  const square = propagate((a = 0) => a * a, [{ value: 2, standardError: 0.5 }]);
  expect((square?.high ?? 0) - 4).toBeGreaterThan(4 - (square?.low ?? 0));
});

test('what can’t be computed within the limits has no interval', () => {
  expect(propagate((a = 0) => (a > 0 ? Math.sqrt(a) : undefined), [{ value: 1, standardError: 1 }])).toBeUndefined();
  expect(propagate((a = 0) => Math.log(a), [{ value: -1, standardError: 0 }])).toBeUndefined();
});
