import { describe, expect, it } from 'vitest';
import { timeSplits } from '../../dashboard/chart/time-splits.ts';
import { formatClock, zoneAbbreviation } from '../../dashboard/format/clock.ts';
import { tellInstantsIn } from '../../dashboard/format/instants-in.ts';
import { en, type Words } from '../../dashboard/words/en.ts';
import { es } from '../../dashboard/words/es.ts';

const HOUR = 3_600_000;
const labels = (fromMs: number, hours: number, zone: string, atMost = 8): string[] =>
  timeSplits(fromMs, fromMs + hours * HOUR, zone, atMost).map((at) => formatClock(at, zone, false));

describe('time axis', () => {
  it('marks round times of day at the site, not of the device', () => {
    expect(labels(Date.UTC(2026, 6, 1, 12, 7), 4, 'America/Chicago')).toEqual(['07:30', '08:00', '08:30', '09:00', '09:30', '10:00', '10:30', '11:00']);
    expect(labels(Date.UTC(2026, 6, 1, 12, 7), 4, 'Asia/Kolkata', 4)).toEqual(['18:00', '19:00', '20:00', '21:00']);
  });

  it('skips the hour that isn’t there in spring and shows twice the one that is there twice', () => {
    expect(labels(Date.UTC(2026, 2, 8, 6), 5, 'America/Chicago')).toEqual(['00:00', '01:00', '03:00', '04:00', '05:00', '06:00']);
    expect(labels(Date.UTC(2026, 10, 1, 5), 4, 'America/Chicago', 4)).toEqual(['00:00', '01:00', '01:00', '02:00', '03:00']);
  });

  it('stays on even hours over the change, at steps of several hours', () => {
    for (const label of labels(Date.UTC(2026, 9, 24, 18), 24, 'Europe/Paris')) expect(Number(label.slice(0, 2)) % 3, label).toBe(0);
  });

  it('ascends strictly for any stretch of a year, in zones with halves and changes', () => {
    for (const zone of ['UTC', 'America/Chicago', 'Europe/Paris', 'Australia/Lord_Howe', 'Asia/Kathmandu']) {
      for (let day = 0; day < 365; day += 7) {
        const from = Date.UTC(2026, 0, 1 + day, 3, 17);
        const splits = timeSplits(from, from + 30 * HOUR, zone, 10);
        expect(splits.length, zone).toBeGreaterThan(1);
        splits.forEach((at, i) => expect(i === 0 || at > (splits[i - 1] as number), `${zone} ${day}`).toBe(true));
      }
    }
  });

  it('has nothing to mark on an empty stretch', () => {
    expect(timeSplits(5, 5, 'UTC', 4)).toEqual([]);
  });
});

describe('clock', () => {
  it('bears the zone’s abbreviation of that very day', () => {
    expect([zoneAbbreviation(Date.UTC(2026, 0, 5), 'America/Chicago'), zoneAbbreviation(Date.UTC(2026, 6, 5), 'America/Chicago')]).toEqual(['CST', 'CDT']);
  });

  it('shows midnight as 00, not 24', () => {
    expect(formatClock(Date.UTC(2026, 0, 5, 6), 'America/Chicago', true)).toBe('00:00:00');
  });
});

describe('instants within a sentence', () => {
  const tell = (sentence: string, words: Words = en): string => tellInstantsIn(sentence, Date.parse('2026-11-01T07:30:00Z'), 'America/Chicago', words);

  it('are told by the clock of the site, with the day where it is another, and which of two where there are two', () => {
    expect(tell('Nothing was heard since 2026-11-01T12:25:56.766Z: the program did not run')).toBe('Nothing was heard since 06:25:56: the program did not run');
    expect(tell('from 2026-10-31T20:00:00Z to 2026-11-01T06:30:00.000Z')).toBe('from Sat 31 Oct 15:00:00 to 01:30:00 CDT');
    expect(tell('desde 2026-10-31T20:00:00Z', es)).toMatch(/^desde sáb 31 oct 15:00:00$/);
  });

  it('leaves everything else as it is', () => {
    for (const said of ['pier-9-2026-11-01 sealed', 'a job of 2026-11-01', '2026-11-01T12:25 by hand']) expect(tell(said)).toBe(said);
  });
});
