import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coverageOf, silences } from '../../../../domain/shift/summary/coverage.ts';
import { highestMean, hoodTimes, peopleOn } from '../../../../domain/shift/summary/people.ts';
import { nozzlePressureOf } from '../../../../domain/shift/summary/pressure.ts';
import type { Series } from '../../../../domain/shift/summary/series.ts';
import { workOf } from '../../../../domain/shift/summary/work.ts';
import { wearOn } from '../../../../domain/shift/summary/wear.ts';
import { consumptionOn } from '../../../../domain/shift/summary/consumption.ts';
import { alarmsOn, type ToldMove } from '../../../../domain/shift/summary/alarms.ts';
import { conditionsOn, CLIMATE } from '../../../../domain/shift/summary/windows.ts';
import { NO_SETUP, type Shift, type ShiftItem } from '../../../../domain/shift/shift.ts';
import { STANDARD_ATMOSPHERE } from '../../../../domain/quantity/pressure.ts';

const HOUR = 3_600_000;
const SHIFT = { fromMs: 0, toMs: HOUR };

/** A reading a second from second to second, of one value or of what is made of the second. */
function series(point: string, fromS: number, toS: number, value: number | null | ((second: number) => number | null), gapMs = 10_000): Series {
  const seconds = Array.from({ length: toS - fromS }, (_, index) => fromS + index);
  const values = seconds.map((second) => (typeof value === 'function' ? value(second) : value));
  return { owner: 'rig-a', point, gapMs, atMs: seconds.map((second) => second * 1000), value: values, reason: values.map((one) => (one === null ? 'out-of-range' : null)) };
}

let ids = 0;
const item = (atMs: number, body: object): ShiftItem => ({ id: `s-1-${(ids += 1)}`, shift: 's-1', rig: 'rig-a', atMs, by: 'dana', role: 'tender', ...body }) as ShiftItem;
const entry = (atMs: number, kind: string, value: number | null, more: object = {}): ShiftItem => item(atMs, { kind: 'entry', entry: kind, value, second: null, unit: null, place: '', text: '', ...more });

describe('coverage', () => {
  it('is whole without gaps, and nothing where never a word was heard', () => {
    expect(coverageOf(series('supply-pressure', 0, 3600, 100), SHIFT, [])).toMatchObject({ fraction: 1, gaps: [] });
    expect(coverageOf(series('supply-pressure', 0, 0, 100), SHIFT, [])).toMatchObject({ fraction: 0, gaps: [{ fromMs: 0, toMs: HOUR, cause: 'never heard' }] });
  });

  it('lists silence, bad readings and silence of the whole site, each with its cause', () => {
    const two = series('supply-pressure', 0, 600, 100);
    const bad = series('supply-pressure', 600, 660, null);
    const three = series('supply-pressure', 660, 1200, 100);
    const four = series('supply-pressure', 1800, 3600, 100);
    const all = [two, bad, three, four].reduce((a, b) => ({ ...a, atMs: [...a.atMs, ...b.atMs], value: [...a.value, ...b.value], reason: [...a.reason, ...b.reason] }));
    const gaps = [{ fromMs: 600_000, toMs: 660_000, cause: 'sensor: out-of-range' }, { fromMs: 1_199_000, toMs: 1_800_000, cause: 'sensor silent' }];
    expect(coverageOf(all, SHIFT, [])).toEqual({ owner: 'rig-a', point: 'supply-pressure', fraction: 1 - 661 / 3600, gaps });
    const silent = silences([all], SHIFT, 10_000);
    expect(silent).toEqual([{ fromMs: 1_199_000, toMs: 1_800_000 }]);
    expect(coverageOf(all, SHIFT, silent).gaps[1]?.cause).toBe('nothing was heard from the site');
    expect(silences([all, series('air-flow', 1100, 1900, 1)], SHIFT, 10_000)).toEqual([]);
  });

  it('adds up: share covered and gaps make the shift, whatever comes in', () => {
    const reading = fc.record({ gap: fc.integer({ min: 0, max: 40_000 }), isBad: fc.boolean() });
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 200 }), (raw) => {
        let atMs = 0;
        const times = raw.map(({ gap }) => (atMs += gap));
        const held: Series = { owner: 'o', point: 'p', gapMs: 10_000, atMs: times, value: raw.map(({ isBad }) => (isBad ? null : 1)), reason: raw.map(() => null) };
        const { fraction, gaps } = coverageOf(held, { fromMs: 0, toMs: HOUR }, []);
        expect(fraction * HOUR + gaps.reduce((sum, { fromMs, toMs }) => sum + toMs - fromMs, 0)).toBeCloseTo(HOUR, 3);
        for (const [index, gap] of gaps.entries()) expect(gap.toMs > gap.fromMs && gap.fromMs >= (gaps[index - 1]?.toMs ?? 0)).toBe(true);
      }),
    );
  });
});

describe('work and pressure', () => {
  const blasting = series('blasting', 0, 3600, (second) => (second % 600 < 300 ? 1 : 0));

  it('counts hours under flow and cycles of the handle', () => {
    expect(workOf(blasting, undefined, SHIFT)).toEqual({ blasting: { value: 0.5, unit: 'h' }, cycles: { value: 6, unit: '{count}' }, cyclesFrom: 'nozzle pressure', longestBurst: { value: 5, unit: 'min' } });
    expect(workOf(blasting, series('remote-control', 0, 3600, (second) => (second % 300 < 299 ? 1 : 0)), SHIFT)).toMatchObject({ cycles: { value: 12 }, cyclesFrom: 'handle' });
    expect(workOf(undefined, undefined, SHIFT)).toBeNull();
  });

  it('weighs nozzle pressure by time under flow: quantiles, the wanted band, and work lost at 1.5 % a psi', () => {
    const nozzle = series('nozzle-pressure', 0, 3600, (second) => (second % 600 >= 300 ? 0 : second < 1200 ? 85 : 95));
    const bursts = [0, 600, 1200, 1800, 2400, 3000].map((second) => ({ fromMs: second * 1000, toMs: (second + 300) * 1000 }));
    const found = nozzlePressureOf(nozzle, bursts, { low: 90, high: 105 });
    expect(found).toMatchObject({ lowest: { value: 85 }, median: { value: 95 }, p5: { value: 85 }, highest: { value: 95 }, reference: { value: 90, unit: '[psi]' }, measured: { value: 0.5 } });
    expect(found?.mean.value).toBeCloseTo((85 + 95 * 2) / 3, 1);
    expect(found?.wanted?.inBand).toBeCloseTo(2 / 3, 6);
    // A third of the time 5 psi below what is wanted: 7.5 % of that third.
    expect(found?.lostProduction).toBeCloseTo(0.075 / 3, 6);
    expect(found?.distribution.map(({ from, share }) => [from, Math.round(share * 300) / 300])).toEqual([[85, 1 / 3], [95, 2 / 3]].map(([from, share]) => [from, Math.round((share ?? 0) * 300) / 300]));
    expect(nozzlePressureOf(nozzle, [], null)).toBeUndefined();
  });
});

describe('people', () => {
  it('are under the hood from log-in to log-out; who was not logged out, to the end', () => {
    const items = [item(600_000, { kind: 'hood-in', name: 'Ray' }), item(900_000, { kind: 'hood-out', name: 'Sam' }), item(1_200_000, { kind: 'hood-out', name: 'Ray' }), item(1_800_000, { kind: 'hood-in', name: 'Ray' })];
    expect([...hoodTimes(items, SHIFT)]).toEqual([['Sam', [{ fromMs: 0, toMs: 900_000 }]], ['Ray', [{ fromMs: 600_000, toMs: 1_200_000 }, { fromMs: 1_800_000, toMs: HOUR }]]]);
  });

  it('breathed what the panel showed, and no more than that is claimed', () => {
    const co = series('breathing-air-co', 0, 3600, (second) => (second >= 1000 && second < 1300 ? 40 : 4));
    const [ray] = peopleOn([item(0, { kind: 'hood-in', name: 'Ray' })], co, SHIFT, STANDARD_ATMOSPHERE);
    // 5 min at 40 ppm: the highest five-minute mean. Fifteen minutes: 5 at 40 and 10 at 4. Eight hours: divided by eight (29 CFR 1910.1000(d)(1)(i)).
    expect(ray).toMatchObject({ name: 'Ray', measured: 1, highest: { value: 40 }, highest5min: { value: 40 }, highest15min: { value: 16 }, average8h: { value: Math.round(((300 * 40 + 3300 * 4) / 28_800) * 10) / 10, unit: '[ppm]' } });
    expect(ray?.carboxyhaemoglobin.value).toBeGreaterThan(0.85);
    const [sam] = peopleOn([item(0, { kind: 'hood-in', name: 'Sam' })], undefined, SHIFT, STANDARD_ATMOSPHERE);
    expect(sam).toMatchObject({ measured: 0, highest: null, highest5min: null, average8h: null });
  });

  it('a gap widens the eight-hour average instead of vanishing in it', () => {
    const co = series('breathing-air-co', 0, 1800, (second) => (second < 900 ? 10 : 2));
    const [ray] = peopleOn([item(0, { kind: 'hood-in', name: 'Ray' })], co, SHIFT, STANDARD_ATMOSPHERE);
    expect(ray?.measured).toBeCloseTo(0.5, 2);
    expect((ray?.average8hAtLeast?.value ?? 0) < (ray?.average8h?.value ?? 0) && (ray?.average8h?.value ?? 0) < (ray?.average8hAtMost?.value ?? 0)).toBe(true);
  });

  it('the highest mean is that of brute force', () => {
    const stretch = fc.record({ pause: fc.integer({ min: 0, max: 30 }), length: fc.integer({ min: 1, max: 40 }), value: fc.integer({ min: 0, max: 50 }) });
    fc.assert(
      fc.property(fc.array(stretch, { minLength: 1, maxLength: 12 }), fc.integer({ min: 5, max: 60 }), (raw, over) => {
        let at = 0;
        const breathed = raw.map(({ pause, length, value }) => ({ fromMs: (at += pause), toMs: (at += length), value }));
        const dose = (from: number, to: number): number => breathed.reduce((sum, one) => sum + Math.max(0, Math.min(to, one.toMs) - Math.max(from, one.fromMs)) * one.value, 0);
        let brute = 0;
        for (let end = 0; end <= at + over; end += 1) brute = Math.max(brute, dose(end - over, end));
        expect(highestMean(breathed, over)).toBeCloseTo(brute / over, 9);
      }),
    );
  });
});

describe('wear, use, alarms and windows', () => {
  const shift: Shift = { id: 's-1', rig: 'rig-a', startedAtMs: 0, startedBy: 'dana', endedAtMs: HOUR, endedBy: 'dana', drill: false, crew: [], setup: { ...NO_SETUP, nozzleBore: { value: 0.4375, unit: '[in_i]' } }, calibrations: [], signOffs: [], seal: null };
  const fitted = { nozzle: 0.0111125, hose: { bore: 0.03175, length: 30.48 } };

  it('tells the bore by plug gauge, and the change from two needle readings with its interval', () => {
    const items = [entry(60_000, 'plug-gauge', 11.11), entry(120_000, 'needle', 95), entry(3_000_000, 'needle', 88), entry(3_500_000, 'plug-gauge', 11.9)];
    const wear = wearOn(shift, items, series('supply-pressure', 0, 3600, 105), fitted, STANDARD_ATMOSPHERE);
    expect(wear).toMatchObject({ start: { value: 11.11, unit: 'mm' }, end: { value: 11.9 }, isChanged: false });
    // More lost in the hose at the same supply: the bore has grown.
    expect(wear.estimate?.value).toBeGreaterThan(0);
    expect((wear.estimate?.low ?? 0) < (wear.estimate?.value ?? 0) && (wear.estimate?.value ?? 0) < (wear.estimate?.high ?? 0)).toBe(true);
    expect(wearOn(shift, [], undefined, fitted, STANDARD_ATMOSPHERE)).toMatchObject({ start: { value: 11.11 }, end: null, estimate: null });
    expect(wearOn(shift, [...items, item(1, { kind: 'setup', setup: { ...NO_SETUP, nozzleBore: { value: 0.5, unit: '[in_i]' } } })], series('supply-pressure', 0, 3600, 105), fitted, STANDARD_ATMOSPHERE)).toMatchObject({ isChanged: true, estimate: null });
  });

  it('adds fillings, areas and stops, and computes air from bore and pressure', () => {
    const items = [entry(0, 'pot-filled', 300), entry(1, 'pot-filled', null), entry(2, 'area-done', 12.5, { place: 'bay 1' }), entry(600_000, 'stopped', null, { text: 'weather' }), entry(1_200_000, 'stopped', null, { text: 'client' }), entry(1_500_000, 'resumed', null), entry(3_000_000, 'stopped', null, { text: 'weather' })];
    const used = consumptionOn(items, series('nozzle-pressure', 0, 3600, 100), [SHIFT], fitted.nozzle, SHIFT, STANDARD_ATMOSPHERE);
    expect(used).toMatchObject({ filled: { value: 300, unit: 'kg' }, fillings: 2, area: { value: 12.5, unit: 'm2' }, stops: [{ reason: 'weather', time: { value: 20 }, count: 2 }, { reason: 'client', time: { value: 5 }, count: 1 }] });
    // A 7/16 in nozzle passes about 250 cfm at 100 psi (published nozzle charts, from memory): an hour of it is about 425 m³.
    expect(used.air?.value).toBeGreaterThan(380);
    expect(used.air?.value).toBeLessThan(470);
    expect(consumptionOn([], undefined, [], null, SHIFT, STANDARD_ATMOSPHERE)).toMatchObject({ air: null, filled: null, area: null, stops: [] });
  });

  it('tells alarms with how fast they were answered; low ones make no sound', () => {
    const move = (atMs: number, id: string, what: ToldMove['what'], from: ToldMove['from'], to: ToldMove['to'], priority: ToldMove['priority'] = 'critical'): ToldMove => ({ atMs, id, name: 'co-high', title: 'CO high', owner: 'rig-a', point: 'breathing-air-co', priority, what, from, to, value: 12, limit: 10, unit: '[ppm]', by: what === 'acknowledged' ? 'lee' : null });
    const found = alarmsOn([move(1_000, 'a', 'raised', 'normal', 'unacknowledged'), move(21_000, 'a', 'acknowledged', 'unacknowledged', 'acknowledged'), move(61_000, 'a', 'out-confirmed', 'acknowledged', 'acknowledged'), move(90_000, 'a', 'returned', 'acknowledged', 'normal'), move(2_000, 'b', 'raised', 'normal', 'unacknowledged', 'low')].sort((a, b) => a.atMs - b.atMs), SHIFT);
    expect(found).toMatchObject({ audible: 1, byPriority: { critical: 1, low: 1 }, response: { medianToAcknowledge: { value: 20, unit: 's' }, slowestToOut: { value: 60 }, neverAcknowledged: 0 } });
    expect(found.occurrences[0]).toMatchObject({ id: 'a', raisedAtMs: 1_000, acknowledgedAtMs: 21_000, acknowledgedBy: 'lee', outConfirmedAtMs: 61_000, clearedAtMs: 90_000, audible: true });
  });

  it('tells the alarms that stood when the shift began, and counts their call and answer to the shift before', () => {
    const move = (atMs: number, id: string, what: ToldMove['what'], from: ToldMove['from'], to: ToldMove['to']): ToldMove => ({ atMs, id, name: 'co-high', title: 'CO high', owner: 'rig-a', point: 'breathing-air-co', priority: 'critical', what, from, to, value: 12, limit: 10, unit: '[ppm]', by: what === 'acknowledged' ? 'lee' : null });
    const found = alarmsOn(
      [
        move(-90_000, 'over', 'raised', 'normal', 'unacknowledged'),
        move(-80_000, 'over', 'acknowledged', 'unacknowledged', 'acknowledged'),
        move(-70_000, 'stands', 'raised', 'normal', 'unacknowledged'),
        move(-60_000, 'over', 'returned', 'acknowledged', 'normal'),
        move(-50_000, 'stands', 'acknowledged', 'unacknowledged', 'acknowledged'),
        move(30_000, 'stands', 'out-confirmed', 'acknowledged', 'acknowledged'),
        move(40_000, 'stands', 'returned', 'acknowledged', 'normal'),
        move(50_000, 'new', 'raised', 'normal', 'unacknowledged'),
        move(SHIFT.toMs + 1, 'later', 'raised', 'normal', 'unacknowledged'),
      ],
      SHIFT,
    );
    expect(found.occurrences.map(({ id, stoodBefore, raisedAtMs, clearedAtMs }) => ({ id, stoodBefore, raisedAtMs, clearedAtMs }))).toEqual([
      { id: 'stands', stoodBefore: true, raisedAtMs: -70_000, clearedAtMs: 40_000 },
      { id: 'new', stoodBefore: false, raisedAtMs: 50_000, clearedAtMs: null },
    ]);
    expect(found).toMatchObject({ audible: 1, byPriority: { critical: 1 }, response: { medianToAcknowledge: null, slowestToOut: null, neverAcknowledged: 1 } });
  });

  it('tells when a condition was met, missed, or could not be told', () => {
    const humidity = series('ambient-humidity', 0, 1800, (second) => (second < 600 ? 80 : 90));
    const [found] = conditionsOn(CLIMATE, (point) => (point === 'ambient-humidity' ? humidity : undefined), SHIFT);
    expect(found).toMatchObject({ point: 'ambient-humidity', met: { value: 10 }, worst: { value: 90, unit: '%' }, windows: [{ fromMs: 600_000 }] });
    expect((found?.met.value ?? 0) + (found?.missed.value ?? 0) + (found?.unknown.value ?? 0)).toBeCloseTo(60, 6);
  });
});
