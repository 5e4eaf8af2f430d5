import { formatClock, zoneAbbreviation } from '../format/clock.ts';
import { formatCountdown } from '../format/countdown.ts';
import { changesBetween } from '../format/instant.ts';

/**
 * What stands at the marks of a time axis: times of day at the site, with seconds where marks lie closer than a minute, and with
 * the zone's abbreviation where the clocks change on the way, since an hour then comes twice. Or the time since a start.
 */
export function timeLabels(atMs: readonly number[], zone: string, isElapsed: boolean): readonly string[] {
  const isFine = atMs.some((ms) => ms % 60_000 !== 0);
  if (isElapsed) return atMs.map((ms) => (isFine ? `${hours(ms)}:${formatCountdown(ms % 3_600_000).padStart(5, '0')}` : `${hours(ms)}:${String(Math.floor((ms % 3_600_000) / 60_000)).padStart(2, '0')}`));
  const first = atMs[0];
  const last = atMs.at(-1);
  const isChange = first !== undefined && last !== undefined && changesBetween(first, last, zone);
  return atMs.map((ms) => `${formatClock(ms, zone, isFine)}${isChange ? ` ${zoneAbbreviation(ms, zone)}` : ''}`);
}

function hours(ms: number): number {
  return Math.floor(ms / 3_600_000);
}
