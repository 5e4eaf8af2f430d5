import { zoneOffsetMs } from '../chart/time-splits.ts';
import { formatClock, zoneAbbreviation } from './clock.ts';
import type { Words } from '../words/en.ts';
import { formatDate, formatDay } from './day.ts';

/** A time of day; with its zone's abbreviation where the clocks change near it, since 01:30 then may be two instants. */
export function formatClockOnce(atMs: number, zone: string, withSeconds: boolean): string {
  const clock = formatClock(atMs, zone, withSeconds);
  return isNearChange(atMs, zone) ? `${clock} ${zoneAbbreviation(atMs, zone)}` : clock;
}

const NEAR_MS = 3 * 3_600_000;

function isNearChange(atMs: number, zone: string): boolean {
  return zoneOffsetMs(atMs - NEAR_MS, zone) !== zoneOffsetMs(atMs + NEAR_MS, zone);
}

/** True where the clocks change between two instants. */
export function changesBetween(fromMs: number, toMs: number, zone: string): boolean {
  return zoneOffsetMs(fromMs, zone) !== zoneOffsetMs(toMs, zone);
}

/** `07:18 to 15:40`; the second with its day where that is another. */
export function formatSpan(fromMs: number, toMs: number, zone: string, words: Words): string {
  const isOvernight = formatDate(fromMs, zone, words) !== formatDate(toMs, zone, words);
  return words.fromTo(formatClockOnce(fromMs, zone, false), `${isOvernight ? `${formatDay(toMs, zone, words)} ` : ''}${formatClockOnce(toMs, zone, false)}`);
}

/** The instant at which a day begins at a site, from `2026-11-25`; null for anything else. */
export function dayStartMs(day: string, zone: string): number | null {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(day);
  if (!match) return null;
  const asUtc = Date.UTC(Number(match[1]), Number(match[2]) - 1, Number(match[3]));
  // Twice, since the offset sought is that of midnight there, not of midnight UTC.
  const first = asUtc - zoneOffsetMs(asUtc, zone);
  return asUtc - zoneOffsetMs(first, zone);
}
