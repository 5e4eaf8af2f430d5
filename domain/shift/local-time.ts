/**
 * An instant as the clock on the wall shows it, with its offset: `2026-11-01T01:30:00.000-05:00`. On the night the clocks go back there
 * are two half past ones; the offset tells them apart. RFC 3339.
 */
export function localTime(ms: number, zone: string): string {
  const offsetMin = offsetMinutes(ms, zone);
  const shifted = new Date(ms + offsetMin * 60_000).toISOString().slice(0, -1);
  const [hours, minutes] = [Math.floor(Math.abs(offsetMin) / 60), Math.abs(offsetMin) % 60];
  return `${shifted}${offsetMin < 0 ? '-' : '+'}${String(hours).padStart(2, '0')}:${String(minutes).padStart(2, '0')}`;
}

const FORMATS = new Map<string, Intl.DateTimeFormat>();
/** Offsets change on a quarter of an hour at the earliest: within one it is asked for once. */
const KNOWN = new Map<string, number>();
const QUARTER_MS = 900_000;

/** How far the zone is ahead of UTC at an instant, min. */
export function offsetMinutes(ms: number, zone: string): number {
  const key = `${zone} ${Math.floor(ms / QUARTER_MS)}`;
  const known = KNOWN.get(key);
  if (known !== undefined) return known;
  let format = FORMATS.get(zone);
  if (!format) {
    format = new Intl.DateTimeFormat('en-US', { timeZone: zone, hourCycle: 'h23', year: 'numeric', month: 'numeric', day: 'numeric', hour: 'numeric', minute: 'numeric', second: 'numeric' });
    FORMATS.set(zone, format);
  }
  const part = Object.fromEntries(format.formatToParts(ms).map(({ type, value }) => [type, Number(value)]));
  const asUtc = Date.UTC(part['year'] ?? 0, (part['month'] ?? 1) - 1, part['day'] ?? 1, part['hour'] ?? 0, part['minute'] ?? 0, part['second'] ?? 0);
  const offset = Math.round((asUtc - Math.floor(ms / 1000) * 1000) / 60_000);
  if (KNOWN.size > 5_000) KNOWN.clear();
  KNOWN.set(key, offset);
  return offset;
}
