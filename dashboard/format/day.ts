import type { Words } from '../words/en.ts';

const made = new Map<string, Intl.DateTimeFormat>();

/** The day at the site as people say it, e.g. `Wed 25 Nov`. */
export function formatDay(atMs: number, zone: string, words: Words): string {
  return formatter(zone, words.dates, false).format(atMs).replace(',', '');
}

/** As `formatDay`, with the year, e.g. `Wed 25 Nov 2026`: a shift is looked at years later. */
export function formatDate(atMs: number, zone: string, words: Words): string {
  return formatter(zone, words.dates, true).format(atMs).replace(',', '');
}

function formatter(zone: string, locale: string, withYear: boolean): Intl.DateTimeFormat {
  const key = `${locale} ${zone} ${withYear}`;
  let format = made.get(key);
  if (!format) {
    format = new Intl.DateTimeFormat(locale, { timeZone: zone, weekday: 'short', day: 'numeric', month: 'short', ...(withYear ? { year: 'numeric' } : {}) });
    made.set(key, format);
  }
  return format;
}
