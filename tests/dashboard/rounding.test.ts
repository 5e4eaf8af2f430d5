import { describe, expect, it } from 'vitest';
import { judgeInSystem } from '../../dashboard/format/judge-in-system.ts';
import { isReached, roundHonestly } from '../../dashboard/format/round-honestly.ts';

const high = (limit: number) => ({ limit, side: 'high' as const });
const low = (limit: number) => ({ limit, side: 'low' as const });

describe('rounding beside a limit', () => {
  it.each([
    [9.6, [high(10)], 9], [9.96, [high(10)], 9], [9.999, [high(10)], 9], [10, [high(10)], 10], [10.4, [high(10)], 10], [10.6, [high(10)], 11], [9.4, [high(10)], 9],
    [40.4, [low(40)], 41], [40.04, [low(40)], 41], [40, [low(40)], 40], [39.6, [low(40)], 40], [39.4, [low(40)], 39],
    [-2.6, [low(-3)], -2], [99.6, [low(40), high(100)], 99], [40.3, [low(40), high(100)], 41],
  ])('%s against %j is %s', (value, limits, shown) => {
    expect(roundHonestly({ value, limits }, 0)).toEqual({ value: shown, decimals: 0 });
  });

  it('takes another decimal where two limits leave no whole number between them', () => {
    expect(roundHonestly({ value: 40.5, limits: [low(40), high(41)] }, 0)).toEqual({ value: 40.5, decimals: 1 });
  });

  it('never shows on the other side of a limit what is on this one, nor the other way round', () => {
    for (let limit = 5; limit < 12; limit += 0.37) {
      for (let value = limit - 2; value < limit + 2; value += 0.013) {
        for (const one of [high(limit), low(limit)]) {
          for (const decimals of [0, 1]) {
            const shown = roundHonestly({ value, limits: [one] }, decimals);
            const limitShown = { ...one, limit: Number(limit.toFixed(shown.decimals)) };
            expect([value, limit, one.side, isReached(shown.value, limitShown)]).toEqual([value, limit, one.side, isReached(value, one)]);
          }
        }
      }
    }
  });

  it('holds in the reader’s unit, and gives a limit as it was chosen', () => {
    expect(judgeInSystem(85.3, '[psi]', 'pressure', 'si', [low(85)])).toMatchObject({ value: 5.88, decimals: 2, symbol: 'bar' });
    expect(judgeInSystem(19.8, '%', 'fraction', 'us', [low(19.5), high(23.5)])).toMatchObject({ value: 19.8, decimals: 1 });
  });
});
