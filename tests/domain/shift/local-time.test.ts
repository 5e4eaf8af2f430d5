import { describe, expect, it } from 'vitest';
import { localTime, offsetMinutes } from '../../../domain/shift/local-time.ts';

describe('local time', () => {
  it('tells the two half past ones of the night the clocks go back apart: America/Chicago, 2026-11-01', () => {
    expect([Date.UTC(2026, 10, 1, 6, 30), Date.UTC(2026, 10, 1, 7, 30)].map((ms) => localTime(ms, 'America/Chicago'))).toEqual(['2026-11-01T01:30:00.000-05:00', '2026-11-01T01:30:00.000-06:00']);
  });

  it('skips the hour that is not there in spring', () => {
    expect([Date.UTC(2026, 2, 8, 7, 59), Date.UTC(2026, 2, 8, 8, 0)].map((ms) => localTime(ms, 'America/Chicago'))).toEqual(['2026-03-08T01:59:00.000-06:00', '2026-03-08T03:00:00.000-05:00']);
  });

  it('reads back as the same instant through two years, in zones of whole, half and quarter hours', () => {
    for (const zone of ['America/Chicago', 'Asia/Kolkata', 'Asia/Kathmandu', 'Pacific/Auckland', 'UTC']) {
      for (let ms = Date.UTC(2026, 0, 1, 0, 7, 13, 123); ms < Date.UTC(2028, 0, 1); ms += 13 * 3_600_000 + 777) expect(Date.parse(localTime(ms, zone)), zone).toBe(ms);
    }
  });

  it('knows offsets before noon of 1970 and of instants between seconds', () => {
    expect(offsetMinutes(-1, 'Asia/Kolkata')).toBe(330);
  });
});
