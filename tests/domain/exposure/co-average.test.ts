import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { EIGHT_HOURS, FIFTEEN_MINUTES, coAverage } from '../../../domain/exposure/co-average.ts';
import { nextCoRise, openCoRise, readCoRise } from '../../../domain/exposure/co-rise.ts';
import { type CoWindow, nextCoWindow, openCoWindow, readCoWindow } from '../../../domain/exposure/co-window.ts';
import { chance } from '../air/line-physics.ts';

const PPM = 1e-6;

describe('time-weighted average', () => {
  test('the divisor is eight hours for a short shift too', () => {
    expect(coAverage([{ concentration: 40 * PPM, duration: 4 * 3600 }]).average / PPM).toBeCloseTo(20, 9);
    expect(coAverage([{ concentration: 40 * PPM, duration: FIFTEEN_MINUTES }], FIFTEEN_MINUTES).average / PPM).toBeCloseTo(40, 9);
  });

  test('a gap is neither zero nor forgotten', () => {
    const found = coAverage([{ concentration: 20 * PPM, duration: 3 * 3600 }, { concentration: null, duration: 3600 }, { concentration: 60 * PPM, duration: 4 * 3600 }]);
    expect(found.atLeast / PPM).toBeCloseTo((20 * 3 + 60 * 4) / 8, 9);
    expect(found.atMost / PPM).toBeCloseTo((20 * 3 + 60 + 60 * 4) / 8, 9);
    expect(found.average).toBeGreaterThan(found.atLeast);
    expect(found.average).toBeLessThan(found.atMost);
    expect(found).toMatchObject({ measured: 7 * 3600, gap: 3600 });
  });

  test('splitting a stretch changes nothing', () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 1e-3, noNaN: true }), fc.double({ min: 1, max: 20_000, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (concentration, duration, at) => {
      const whole = coAverage([{ concentration, duration }]);
      const split = coAverage([{ concentration, duration: duration * at }, { concentration, duration: duration * (1 - at) }]);
      expect(split.average).toBeCloseTo(whole.average, 12);
    }));
  });

  test.each<[string, () => unknown]>([
    ['concentration', () => coAverage([{ concentration: -PPM, duration: 1 }])],
    ['concentration', () => coAverage([{ concentration: 2, duration: 1 }])],
    ['duration', () => coAverage([{ concentration: PPM, duration: -1 }])],
    ['over', () => coAverage([{ concentration: PPM, duration: 1 }], 0)],
    ['nothing was measured', () => coAverage([{ concentration: null, duration: 100 }])],
    ['nothing was measured', () => coAverage([])],
  ])('refused: %s', (name, run) => {
    expect(run).toThrow(new RegExp(name));
  });
});

describe('rolling average', () => {
  function fill(window: CoWindow, rows: readonly (readonly [number, number | null])[], holdMs = 60_000): CoWindow {
    return rows.reduce((state, [seconds, ppm]) => nextCoWindow(state, seconds * 1000, ppm === null ? null : ppm * PPM, holdMs), window);
  }

  test('agrees with the plain average over the same readings', () => {
    const { even } = chance(3);
    const rows = Array.from({ length: 2880 }, (_, at) => [at * 10, even(0, 60)] as const);
    const window = fill(openCoWindow(EIGHT_HOURS * 1000), [...rows, [28_800, 0]]);
    const plain = coAverage(rows.map(([, ppm]) => ({ concentration: ppm * PPM, duration: 10 })));
    expect((readCoWindow(window)?.average ?? 0) / PPM).toBeCloseTo(plain.average / PPM, 6);
    expect(readCoWindow(window)?.measured).toBeCloseTo(28_800, 6);
  });

  test('forgets what is older than the window, and stays as small as it was', () => {
    const rows = Array.from({ length: 5000 }, (_, at) => [at, at < 2500 ? 100 : 10] as const);
    const window = fill(openCoWindow(FIFTEEN_MINUTES * 1000), rows);
    expect((readCoWindow(window)?.average ?? 0) / PPM).toBeCloseTo(10, 0);
    expect(window.buckets.length).toBeLessThanOrEqual(98);
  });

  test('constant air averages to itself, wherever the window stands', () => {
    let window = openCoWindow(FIFTEEN_MINUTES * 1000);
    for (let second = 0; second < 4000; second += 7) {
      window = nextCoWindow(window, second * 1000, 40 * PPM, 60_000);
      if (second > 920) expect((readCoWindow(window)?.average ?? 0) / PPM).toBeCloseTo(40, 6);
    }
  });

  test('silence and unusable readings are gaps, a reading holds no longer than told', () => {
    const window = fill(openCoWindow(FIFTEEN_MINUTES * 1000), [[0, 20], [10, 20], [20, null], [50, 20], [350, 20]], 60_000);
    const found = readCoWindow(window);
    expect(found?.measured).toBeCloseTo(20 + 60, 6);
    expect(found?.gap).toBeCloseTo(30 + 240, 6);
    expect((found?.atLeast ?? 0) / PPM).toBeCloseTo((20 * 80) / 900, 6);
    expect(readCoWindow(fill(openCoWindow(1000), [[0, null], [5, null]]))).toBeUndefined();
  });

  test('a long silence costs no more than a window', () => {
    const window = fill(openCoWindow(FIFTEEN_MINUTES * 1000), [[0, 20], [1e9, 20], [1e9 + 1, 20]]);
    expect(window.buckets.length).toBeLessThanOrEqual(98);
  });

  test('out of order is refused', () => {
    expect(() => fill(openCoWindow(1000), [[5, 1], [4, 1]])).toThrow(/order/);
    expect(() => openCoWindow(0)).toThrow(/over/);
  });
});

describe('rate of rise', () => {
  const follow = (ppm: (second: number) => number, seconds: number) => {
    let rise = openCoRise();
    for (let second = 0; second <= seconds; second++) rise = nextCoRise(rise, second * 1000, ppm(second) * PPM);
    return readCoRise(rise);
  };

  test('3 ppm in 2 minutes shows as such', () => {
    expect(((follow((second) => 2 + (3 * second) / 120, 150) ?? 0) / PPM) * 120).toBeCloseTo(3, 1);
  });

  test('one wild reading, and a cell that shows whole ppm, do not', () => {
    expect(follow((second) => (second === 149 ? 400 : 2), 150)).toBe(0);
    expect((Math.abs(follow((second) => Math.round(2.5 + 0.3 * Math.sin(second)), 150) ?? 9) / PPM) * 120).toBeLessThanOrEqual(1.5);
  });

  test('too little to tell is undefined', () => {
    expect(follow(() => 5, 30)).toBeUndefined();
  });
});
