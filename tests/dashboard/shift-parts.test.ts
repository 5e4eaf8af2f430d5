import { describe, expect, it } from 'vitest';
import { timeLabels } from '../../dashboard/chart/time-labels.ts';
import { timeSplits } from '../../dashboard/chart/time-splits.ts';
import { dayStartMs, formatClockOnce, formatSpan } from '../../dashboard/format/instant.ts';
import { boreText, formatQuantity, formatShare } from '../../dashboard/format/quantity.ts';
import { parseRoute, routeHref } from '../../dashboard/page/route.ts';
import { likelyNeedle, valueChoices } from '../../dashboard/rig/entry-choices.ts';
import { ownStretch } from '../../dashboard/shifts/compare/elapsed.ts';
import { bandPath } from '../../dashboard/shifts/list/picture-paths.ts';
import { dayMarks } from '../../dashboard/shifts/overview/day-marks.ts';
import { scaleOf } from '../../dashboard/shifts/overview/measures.ts';
import { sumUp } from '../../dashboard/shifts/overview/sum-up.ts';
import { logLines, looseCorrections } from '../../dashboard/shifts/one/log-lines.ts';
import { whyNotSign } from '../../dashboard/shifts/one/why-not-sign.ts';
import { compareJudged } from '../../dashboard/shifts/rejudge/compare-judged.ts';
import { NO_SETTINGS, readChanges, triableRules } from '../../dashboard/shifts/rejudge/rule-settings.ts';
import { parseShiftPlace } from '../../dashboard/shifts/shift-route.ts';
import { draftFromBuilt, draftOf, fillDraft, readDraft } from '../../dashboard/shifts/start/setup-draft.ts';
import { nextByKey } from '../../dashboard/shifts/trace/next-by-key.ts';
import { packBands } from '../../dashboard/shifts/trace/pack-bands.ts';
import { gapSpans, isErased, lateSpans, valueAt } from '../../dashboard/shifts/trace/panels.ts';
import { pan, pinch, within, zoom } from '../../dashboard/shifts/trace/stretch.ts';
import { en } from '../../dashboard/words/en.ts';
import { cardOf, fabricatedShifts } from './support/fabricated-shifts.ts';

/** The pure parts of the Shifts screen. */
const HOUR = 3_600_000;
const NIGHT = Date.UTC(2026, 10, 1, 2);
const made = fabricatedShifts(Date.UTC(2026, 10, 25, 21));
const anyShift = (state: string) => [...made.shifts.values()].find((one) => one.state === state && one.corrections.length > 0) ?? [...made.shifts.values()][0];

describe('time', () => {
  it('names both half past ones of the night in which the clocks go back', () => {
    expect([formatClockOnce(NIGHT + 4.5 * HOUR, 'America/Chicago', false), formatClockOnce(NIGHT + 5.5 * HOUR, 'America/Chicago', false)]).toEqual(['01:30 CDT', '01:30 CST']);
    expect(formatClockOnce(Date.UTC(2026, 5, 1, 12), 'America/Chicago', false)).toBe('07:00');
    expect(formatSpan(NIGHT, NIGHT + 9 * HOUR, 'America/Chicago', en)).toBe('21:00 to Sun 1 Nov 05:00');
    const splits = timeSplits(NIGHT + 3 * HOUR, NIGHT + 6 * HOUR, 'America/Chicago', 8);
    expect(timeLabels(splits, 'America/Chicago', false)).toEqual(['00:00 CDT', '00:30 CDT', '01:00 CDT', '01:30 CDT', '01:00 CST', '01:30 CST', '02:00 CST']);
  });

  it('marks seconds where a stretch is short, and counts from the start where asked', () => {
    const splits = timeSplits(NIGHT, NIGHT + 60_000, 'UTC', 7);
    expect(timeLabels(splits, 'UTC', false).slice(0, 2)).toEqual(['02:00:00', '02:00:10']);
    expect(timeLabels([0, 90 * 60_000, 11 * HOUR], 'UTC', true)).toEqual(['0:00', '1:30', '11:00']);
  });

  it('knows where a day begins at the site, also on days of 23 and 25 hours', () => {
    expect(dayStartMs('2026-11-01', 'America/Chicago')).toBe(Date.UTC(2026, 10, 1, 5));
    expect(dayStartMs('2026-11-02', 'America/Chicago')).toBe(Date.UTC(2026, 10, 2, 6));
    expect(dayStartMs('2026-03-09', 'America/Chicago')).toBe(Date.UTC(2026, 2, 9, 5));
    expect(dayStartMs('yesterday', 'UTC')).toBeNull();
    const marks = dayMarks(Date.UTC(2026, 9, 28), Date.UTC(2026, 10, 5), 'America/Chicago', 10);
    expect(marks.map((ms) => new Date(ms).toISOString().slice(5, 13))).toEqual(['10-28T05', '10-29T05', '10-30T05', '10-31T05', '11-01T05', '11-02T06', '11-03T06', '11-04T06']);
  });
});

describe('quantities', () => {
  it('stand in the reader’s unit, bores as the fractions on the parts', () => {
    expect(formatQuantity({ value: 11.1125, unit: 'mm' }, 'us')).toBe('7/16 in');
    expect(formatQuantity({ value: 1.25, unit: '[in_i]' }, 'us')).toBe('1 1/4 in');
    expect(formatQuantity({ value: 11.6, unit: 'mm' }, 'us')).toBe('0.457 in');
    expect(formatQuantity({ value: 100, unit: '[ft_i]' }, 'si')).toBe('30.5 m');
    expect(formatQuantity({ value: 95.6, unit: '[psi]' }, 'si')).toBe('6.6 bar');
    expect(formatQuantity({ value: 3, unit: 'Cel' }, 'us', true)).toBe('5.4 °F');
    expect(formatQuantity({ value: 3, unit: '[furlong]' }, 'us')).toBe('3 [furlong]');
    expect(boreText({ value: 11.1125, unit: 'mm' }, 'us', true)).toBe('0.438 in');
  });

  it('never make a whole of a share that is none, nor nothing of a little', () => {
    expect([formatShare(0.9997, 1), formatShare(1, 1), formatShare(0, 0), formatShare(0.0004), formatShare(0.853)]).toEqual(['99.97 %', '100.0 %', '0 %', '< 1 %', '85 %']);
  });
});

describe('places', () => {
  it('are in the address, and anything unknown leads home', () => {
    expect(parseRoute('#/shifts/quay-4-1/trace?at=x')).toMatchObject({ route: 'shifts', rest: ['quay-4-1', 'trace'] });
    expect(parseRoute('#/alarms/journal')).toMatchObject({ route: 'alarms/journal', rest: [] });
    expect(parseRoute('#/nowhere').route).toBe('watch');
    expect(parseRoute('#/shifts/%E0%A4%A').rest).toEqual(['%E0%A4%A']);
    expect(parseRoute(routeHref('shifts', { a: 'b c' }, ['x/y'])).rest).toEqual(['x/y']);
    expect(parseShiftPlace(['overview'])).toEqual({ at: 'overview' });
    expect(parseShiftPlace(['compare', 'a'])).toEqual({ at: 'list' });
    expect(parseShiftPlace(['a', 'nonsense'])).toEqual({ at: 'one', id: 'a', tab: 'log' });
  });
});

describe('stretch', () => {
  const bounds = { fromMs: 0, toMs: 10 * HOUR };
  it('keeps what is under the pointer there while it zooms, and stays within the shift', () => {
    const next = zoom(bounds, bounds, 0.5, 2 * HOUR);
    expect(next).toEqual({ fromMs: HOUR, toMs: 6 * HOUR });
    expect(zoom(next, bounds, 100, 3 * HOUR)).toEqual(bounds);
    expect(pan(next, bounds, -9 * HOUR)).toEqual({ fromMs: 0, toMs: 5 * HOUR });
    expect(within({ fromMs: 5 * HOUR, toMs: 5 * HOUR + 10 }, bounds).toMs - within({ fromMs: 5 * HOUR, toMs: 5 * HOUR + 10 }, bounds).fromMs).toBe(60_000);
    expect(within({ fromMs: 1, toMs: 2 }, { fromMs: 0, toMs: 20_000 })).toEqual({ fromMs: 0, toMs: 20_000 });
  });

  it('stays within its bounds whatever is done, in any order', () => {
    let seed = 7;
    const random = (): number => (seed = (seed * 16_807) % 2_147_483_647) / 2_147_483_647;
    let stretch = bounds;
    for (let round = 0; round < 2_000; round++) {
      const pick = random();
      if (pick < 0.4) stretch = zoom(stretch, bounds, random() * 3, random() * bounds.toMs);
      else if (pick < 0.7) stretch = pan(stretch, bounds, (random() - 0.5) * 20 * HOUR);
      else stretch = pinch(stretch, bounds, [random() * 300, random() * 300], [random() * 300, random() * 300], 300);
      expect(stretch.fromMs, `round ${round}`).toBeGreaterThanOrEqual(bounds.fromMs);
      expect(stretch.toMs, `round ${round}`).toBeLessThanOrEqual(bounds.toMs);
      expect(stretch.toMs - stretch.fromMs, `round ${round}`).toBeGreaterThanOrEqual(60_000);
    }
  });

  it('follows two fingers', () => {
    expect(pinch({ fromMs: 0, toMs: 1_000_000 }, bounds, [250, 750], [0, 1000], 1000)).toEqual({ fromMs: 250_000, toMs: 750_000 });
  });

  it('is moved by keys, the cursor taking it along', () => {
    const seen = { fromMs: HOUR, toMs: 2 * HOUR };
    expect(nextByKey({ stretch: seen, cursorMs: 2 * HOUR }, 'ArrowRight', true, bounds)?.stretch).toEqual({ fromMs: HOUR + 180_000, toMs: 2 * HOUR + 180_000 });
    expect(nextByKey({ stretch: seen, cursorMs: null }, '0', false, bounds)?.stretch).toEqual(bounds);
    expect(nextByKey({ stretch: seen, cursorMs: null }, 'x', false, bounds)).toBeNull();
  });
});

describe('panels', () => {
  const series = { owner: 'a', id: 'breathing-air-co', unit: '[ppm]', atMs: [0, 10, 20, 30, 40], min: [1, 1, null, null, 2], max: [3, 400, null, null, 2], late: [false, false, false, true, true], erased: [{ fromMs: 60, toMs: 80, atMs: 0, by: 'mona' }] };
  it('read lowest and highest of the step at the cursor, nothing in a gap', () => {
    expect(valueAt(series, 15)).toEqual({ low: 1, high: 400, isLate: false });
    expect(valueAt(series, 25)).toBeNull();
    expect(valueAt(series, 99)).toEqual({ low: 2, high: 2, isLate: true });
    expect(valueAt(series, -1)).toBeNull();
  });

  it('know where gaps and late values lie', () => {
    expect(lateSpans(series, 50)).toEqual([{ fromMs: 30, toMs: 50 }]);
    expect(gapSpans(series, 90)).toEqual([{ fromMs: 20, toMs: 40 }, { fromMs: 60, toMs: 80 }]);
    expect(isErased(series, 70)).toBe(true);
  });

  it('put alarms into rows in which none covers another or its name', () => {
    const bands = [{ fromMs: 0, toMs: 100 }, { fromMs: 50, toMs: 60 }, { fromMs: 62, toMs: 70 }, { fromMs: 101, toMs: 102 }];
    expect(packBands(bands, 0)).toEqual([0, 1, 1, 0]);
    expect(packBands(bands, 30)).toEqual([0, 1, 2, 0]);
  });

  it('draw the small picture with a peak in it and a hole where nothing is known', () => {
    const path = bandPath(series, { fromMs: 0, toMs: 40, width: 40, top: 0, height: 10, high: 15 });
    expect(path.match(/M/g)?.length).toBe(2);
    expect(path).toContain('10.0 0.0');
  });

  it('ask each of two shifts for its own stretch, and nothing beyond its end', () => {
    expect(ownStretch({ fromMs: 0, toMs: 5 * HOUR }, NIGHT, NIGHT + 3 * HOUR)).toEqual({ fromMs: NIGHT, toMs: NIGHT + 3 * HOUR });
    expect(ownStretch({ fromMs: 4 * HOUR, toMs: 5 * HOUR }, NIGHT, NIGHT + 3 * HOUR)).toBeNull();
  });
});

describe('setup', () => {
  it('is read as people write it, and goes back untouched where nobody touched it', () => {
    const kept = { nozzleBore: { value: 11.3, unit: 'mm' }, hoseBore: null, hoseLength: null };
    const draft = { ...draftOf(kept, 'us'), hoseBore: '1 1/4 in', hoseLength: '30m' };
    expect(readDraft(draft, 'us', kept)).toMatchObject({ setup: { nozzleBore: { value: 11.3, unit: 'mm' }, hoseBore: { value: 1.25, unit: '[in_i]' }, hoseLength: { value: 30, unit: 'm' } } });
    for (const wrong of ['30', '30 psi', 'long', '-3 m', '1/0 in']) expect(readDraft({ ...draft, hoseLength: wrong }, 'us', kept)).toEqual({ wrong: 'hoseLength' });
  });

  it('begins with the configuration’s own words where no shift went before', () => {
    const draft = draftFromBuilt('7/16 in nozzle, 100 ft of 1 1/4 in hose, vessel rated 125 psi');
    expect([draft.nozzleBore, draft.hoseLength, draft.hoseBore]).toEqual(['7/16 in', '100 ft', '1 1/4 in']);
    expect(fillDraft({ ...draft, nozzleBore: '12 mm', hoseBore: '' }, draft)).toMatchObject({ nozzleBore: '12 mm', hoseBore: '1 1/4 in' });
    expect(draftFromBuilt('').nozzleBore).toBe('');
  });
});

describe('log', () => {
  it('is in the order of time, each correction under what it corrects', () => {
    const shift = anyShift('sealed');
    if (!shift) throw new Error('no shift');
    const loose = { ...shift, corrections: [...shift.corrections, { at: shift.startedAt, by: 'x', of: 'setup', text: 'y' }] };
    const lines = logLines(loose, made.entries.get(shift.id) ?? [], (entry) => entry.kind, en);
    expect(lines.map((line) => Date.parse(line.at))).toEqual(lines.map((line) => Date.parse(line.at)).toSorted((a, b) => a - b));
    expect(lines.filter((line) => line.corrections.length > 0).map((line) => line.id)).toEqual([`${shift.id}-n1`]);
    expect(looseCorrections(loose, lines).map((one) => one.of)).toEqual(['setup']);
    expect(lines[0]?.kind).toBe('start');
    expect(lines.at(-1)?.kind).toBe('seal');
  });

  it('lets the second of two roles sign, and tells the others why not', () => {
    const first = { at: '2026-11-25T12:00:00Z', name: 'dana', role: 'supervisor', meaning: 'approved' };
    const shift = { ...(anyShift('ended') as NonNullable<ReturnType<typeof anyShift>>), signOffs: [first] };
    const why = (name: string, role: 'supervisor' | 'manager' | 'tender'): string | null => whyNotSign(shift, { name, role }, role !== 'tender', en);
    expect(why('mona', 'manager')).toBeNull();
    expect(why('dana', 'manager')).toBe(en.shifts.signOff.alreadyYou);
    expect(why('sam', 'supervisor')).toBe(en.shifts.signOff.otherRole('supervisor'));
    expect(why('ray', 'tender')).toBe(en.shifts.signOff.notYourRole);
  });
});

describe('overview', () => {
  it('weighs shares by blasting time, and counts what two people have not signed', () => {
    const cards = [...made.shifts.values()].slice(0, 2).map((shift) => cardOf(shift, made.headlines.get(shift.id) ?? null));
    const [a, b] = cards;
    if (!a?.headline || !b?.headline) throw new Error('no headlines');
    const sum = sumUp([
      { ...a, state: 'ended', headline: { ...a.headline, blastingMs: HOUR, lostProduction: 0.1 } },
      { ...b, state: 'sealed', headline: { ...b.headline, blastingMs: 3 * HOUR, lostProduction: 0.5 } },
      { ...b, headline: null },
    ]);
    expect(sum.lostProduction).toBeCloseTo(0.4, 10);
    expect(sum.unsigned).toBe(1);
    expect(sumUp([]).lostProduction).toBeNull();
  });

  it('has a scale in round steps that holds every value', () => {
    for (const values of [[94.2, 96.1], [0.44, 0.472], [0, 0, 0], [-3, 1200]]) {
      const { low, high, marks } = scaleOf(values, null);
      expect(low, String(values)).toBeLessThanOrEqual(Math.min(...values));
      expect(high, String(values)).toBeGreaterThanOrEqual(Math.max(...values));
      expect(marks.length, String(values)).toBeGreaterThan(1);
      expect(marks.length, String(values)).toBeLessThan(9);
    }
    expect(scaleOf([3], [0, 10])).toMatchObject({ low: 0, high: 10 });
  });
});

describe('judging anew', () => {
  const alarm = (name: string, from: number, to: number | null) => ({ name, rig: 'rig-a', priority: 'medium' as const, raisedAt: new Date(from * 60_000).toISOString(), clearedAt: to === null ? null : new Date(to * 60_000).toISOString(), audible: true });
  it('finds the same alarm again where a delay moved it, and tells what is gone and what is new', () => {
    const rows = compareJudged([alarm('a', 0, 10), alarm('a', 60, 62), alarm('b', 5, null)], [alarm('a', 2, 10), alarm('b', 200, null), alarm('c', 30, 31)]);
    expect(rows.map((row) => [row.name, row.before !== null, row.after !== null])).toEqual([['a', true, true], ['b', true, true], ['c', false, true], ['a', true, false]]);
  });

  it('asks for a number with a unit of the alarm’s own kind', () => {
    const rules = triableRules(en.told);
    const change = (alarmName: string, settings: Partial<typeof NO_SETTINGS>) => readChanges([{ alarm: alarmName, settings: { ...NO_SETTINGS, ...settings } }], rules);
    expect(change('co-high', { limit: '12 ppm', 'on-delay': '5 s' })).toEqual({ alarms: { 'co-high': { limit: '12 ppm', 'on-delay': '5 s' } } });
    expect(change('co-high', { limit: '12 psi' })).toEqual({ wrong: { alarm: 'co-high', setting: 'limit' } });
    expect(change('supply-pressure-low', { 'on-delay': '5 psi' })).toEqual({ wrong: { alarm: 'supply-pressure-low', setting: 'on-delay' } });
    expect(change('co-high', {})).toEqual({ wrong: { alarm: 'co-high', setting: null } });
    expect(rules.find((rule) => rule.name === 'co-high')?.shipped.limit).toBe('10 ppm');
    expect(rules.some((rule) => rule.name === 'clock-off')).toBe(false);
  });
});

describe('keys at the rig', () => {
  it('lie round what the line reads, in steps a gauge can be read to', () => {
    const keys = valueChoices('needle', 'us', 96.4);
    expect(keys.length).toBe(12);
    expect(keys.map((key) => key.value)).toContain(96);
    expect(valueChoices('needle', 'si', 6.62).map((key) => key.label)).toContain('6.6 bar');
    expect(valueChoices('plug-gauge', 'us', null).map((key) => key.label)).toContain('3/8 in');
    expect(valueChoices('pot-filled', 'us', 100).every((key) => (key.value ?? 0) > 0)).toBe(true);
    expect(valueChoices('spot', 'si', -4).map((key) => key.value)).toContain(-4);
    expect(valueChoices('blotter', 'us', null)).toEqual([]);
    expect([likelyNeedle(97, [90, 105]), likelyNeedle(0, [90, 105]), likelyNeedle(null, null)]).toEqual([97, 97.5, null]);
  });
});
