import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Change, type ChangeDetector, LEARNING, nextChangeDetector } from '../../../domain/trend/change-detector.ts';
import { medianOf, nextMedianSlots, openMedianSlots } from '../../../domain/trend/median-slots.ts';
import { type Trend, nextTrend, openTrend, readTrend } from '../../../domain/trend/robust-trend.ts';
import { timeToLimit } from '../../../domain/trend/time-to-limit.ts';
import { chance } from '../air/line-physics.ts';

const MINUTE = 60_000;

/** One value a minute; `value` of the minute. */
function follow(minutes: number, value: (minute: number) => number): Trend | undefined {
  let slots = openTrend();
  for (let minute = 0; minute <= minutes; minute++) slots = nextTrend(slots, minute * MINUTE, value(minute));
  return readTrend(slots);
}

describe('slots', () => {
  test('keep medians, in constant memory, however many readings come', () => {
    let slots = openMedianSlots(1000, 10);
    for (let i = 0; i < 20_000; i++) slots = nextMedianSlots(slots, i, i % 1000);
    expect(slots.done).toHaveLength(10);
    expect(slots.filling.values.length).toBeLessThanOrEqual(32);
    for (const slot of slots.done) expect(Math.abs(slot.middle - 499.5)).toBeLessThan(40);
  });

  test('a silent stretch leaves holes, not inventions', () => {
    let slots = openMedianSlots(1000, 10);
    for (const at of [0, 1000, 2000, 8000, 9000]) slots = nextMedianSlots(slots, at, 1);
    expect(slots.done.map((slot) => slot.number)).toEqual([0, 1, 2, 8]);
  });

  test('the median is of the middle', () => {
    expect(medianOf([3, 1, 2])).toBe(2);
    expect(medianOf([4, 1, 2, 3])).toBe(2.5);
    expect(medianOf([])).toBeNaN();
  });

  test('what isn’t a number, or comes late, is refused', () => {
    expect(() => nextMedianSlots(openMedianSlots(1000, 10), 0, NaN)).toThrow(/value/);
    expect(() => nextMedianSlots(nextMedianSlots(openMedianSlots(1000, 10), 5000, 1), 0, 1)).toThrow(/order/);
    expect(() => openMedianSlots(0, 10)).toThrow(/slot/);
    expect(() => openMedianSlots(1000, 1)).toThrow(/slots to keep/);
  });
});

describe('robust slope', () => {
  test('a straight line is its own trend', () => {
    fc.assert(fc.property(fc.double({ min: -10, max: 10, noNaN: true }), fc.double({ min: -100, max: 100, noNaN: true }), (perMinute, start) => {
      const trend = follow(25, (minute) => start + perMinute * minute);
      expect((trend?.slope ?? NaN) * 60).toBeCloseTo(perMinute, 6);
      expect(trend?.level).toBeCloseTo(start + perMinute * 24, 4);
    }));
  });

  test('the slope is the median of all pairwise slopes', () => {
    const { normal } = chance(11);
    const values = Array.from({ length: 31 }, (_, minute) => minute * 0.3 + normal(2));
    const slopes: number[] = [];
    for (let late = 0; late < 30; late++) for (let early = 0; early < late; early++) slopes.push(((values[late] ?? 0) - (values[early] ?? 0)) / (late - early));
    expect((follow(30, (minute) => values[minute] ?? 0)?.slope ?? NaN) * 60).toBeCloseTo(medianOf(slopes), 9);
  });

  test('a quarter of wild readings does not turn it', () => {
    const trend = follow(30, (minute) => minute * 0.5 + (minute % 4 === 1 ? 80 : 0));
    expect((trend?.slope ?? 0) * 60).toBeCloseTo(0.5, 1);
  });

  test('its interval holds the truth about 95 times in 100, also where readings hang together', () => {
    for (const memory of [0, 0.5]) {
      let [inside, called] = [0, 0];
      const runs = 500;
      for (let seed = 1; seed <= runs; seed++) {
        const { normal } = chance(seed);
        let left = 0;
        const trend = follow(30, (minute) => {
          left = memory * left + normal(1);
          return 0.05 * minute + left;
        });
        if (trend && trend.low * 60 <= 0.05 && 0.05 <= trend.high * 60) inside += 1;
        if (trend?.significant && trend.high < 0) called += 1;
      }
      expect(inside / runs, `memory ${memory}`).toBeGreaterThan(0.9);
      expect(called / runs).toBeLessThan(0.02);
    }
  });

  test('too few slots show no trend', () => {
    expect(follow(6, (minute) => minute)).toBeUndefined();
  });
});

describe('time to a limit', () => {
  test('falling a tenth a minute from 6, a limit of 3 is half an hour away', () => {
    const left = timeToLimit(follow(30, (minute) => 9 - 0.1 * minute), 3, 'low');
    expect(left.kind).toBe('approaching');
    if (left.kind === 'approaching') expect(left.likely / 60).toBeCloseTo((9 - 2.9 - 3) / 0.1, 1);
  });

  test('the interval holds the truth nearly always, and noise alone is no trend', () => {
    let [inside, told, calm] = [0, 0, 0];
    for (let seed = 1; seed <= 400; seed++) {
      const { normal } = chance(seed);
      const left = timeToLimit(follow(30, (minute) => 9 - 0.1 * minute + normal(0.2)), 3, 'low');
      if (left.kind === 'approaching') {
        told += 1;
        if (left.soonest / 60 <= 31 && 31 <= left.latest / 60) inside += 1;
      }
      if (timeToLimit(follow(30, () => 6 + normal(0.2)), 3, 'low').kind === 'no-trend') calm += 1;
    }
    expect(told).toBeGreaterThan(395);
    expect(inside / told).toBeGreaterThan(0.93);
    expect(calm / 400).toBeGreaterThan(0.92);
  });

  test('moving away, beyond, and nothing known are said as such', () => {
    const rising = follow(30, (minute) => minute);
    expect(timeToLimit(rising, -5, 'low')).toEqual({ kind: 'moving-away' });
    expect(timeToLimit(rising, 20, 'high')).toEqual({ kind: 'beyond' });
    expect(timeToLimit(undefined, 20, 'high')).toEqual({ kind: 'no-trend' });
    expect(() => timeToLimit(rising, NaN, 'high')).toThrow(/limit/);
  });
});

describe('change detection', () => {
  function run(residuals: readonly number[], leastSpread = 0.1): { changes: (Change & { seenAt: number })[]; detector: ChangeDetector } {
    let detector = LEARNING;
    const changes: (Change & { seenAt: number })[] = [];
    residuals.forEach((residual, at) => {
      const step = nextChangeDetector(detector, at * 1000, residual, leastSpread);
      detector = step.detector;
      if (step.change) changes.push({ ...step.change, seenAt: at });
    });
    return { changes, detector };
  }

  test('a shift of two spreads is found soon, with when and how much', () => {
    let [found, late] = [0, 0];
    for (let seed = 1; seed <= 200; seed++) {
      const { normal } = chance(seed);
      const { changes } = run(Array.from({ length: 160 }, (_, at) => normal(1) + (at >= 100 ? 2 : 0)));
      const first = changes.find((one) => one.seenAt >= 100);
      if (!first) continue;
      found += 1;
      if (first.seenAt > 120) late += 1;
      expect(first.by).toBeGreaterThan(0.5);
      expect(first.by).toBeLessThan(3.5);
    }
    expect(found).toBe(200);
    expect(late / found).toBeLessThan(0.05);
  });

  test('noise alone hardly ever calls, and wild readings alone never', () => {
    let calls = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const { normal } = chance(seed);
      calls += run(Array.from({ length: 2000 }, () => normal(1))).changes.length;
    }
    // 40,000 readings, some of them spent learning again.
    expect(calls).toBeLessThanOrEqual(8);
    const { normal } = chance(1);
    expect(run(Array.from({ length: 500 }, (_, at) => normal(0.5) + (at % 60 === 59 ? 100 : 0))).changes).toEqual([]);
  });

  test('a series that stood still does not make it nervous, and it learns a new level after a change', () => {
    expect(run([...Array<number>(100).fill(5), ...Array<number>(100).fill(5.05)], 1).changes).toEqual([]);
    const { changes } = run([...Array<number>(100).fill(5), ...Array<number>(300).fill(9)], 1);
    expect(changes).toHaveLength(1);
    expect(changes[0]?.sinceMs).toBe(100_000);
  });

  test('its memory stays as it is', () => {
    const { normal } = chance(2);
    expect(JSON.stringify(run(Array.from({ length: 5000 }, () => normal(1))).detector).length).toBeLessThan(1500);
    expect(() => nextChangeDetector(LEARNING, 0, NaN, 1)).toThrow(/residual/);
    expect(() => nextChangeDetector(LEARNING, 0, 1, 0)).toThrow(/least spread/);
  });
});
