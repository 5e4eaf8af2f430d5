import { dayStartMs } from '../../format/instant.ts';

const DAY_MS = 86_400_000;
const made = new Map<string, Intl.DateTimeFormat>();

/** Midnights at the site within a stretch of days, as many as there is room for; right over a change of the clocks too. */
export function dayMarks(fromMs: number, toMs: number, zone: string, atMost: number): readonly number[] {
  if (!(toMs > fromMs) || atMost < 1) return [];
  const every = Math.max(1, Math.ceil((toMs - fromMs) / DAY_MS / atMost));
  let format = made.get(zone);
  if (!format) made.set(zone, (format = new Intl.DateTimeFormat('en-CA', { timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit' })));
  const marks: number[] = [];
  for (let ms = fromMs + DAY_MS; ms <= toMs + DAY_MS; ms += every * DAY_MS) {
    const midnight = dayStartMs(format.format(ms), zone);
    if (midnight !== null && midnight >= fromMs && midnight <= toMs && midnight !== marks.at(-1)) marks.push(midnight);
  }
  return marks;
}
