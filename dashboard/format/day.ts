const made = new Map<string, Intl.DateTimeFormat>();

/** The day at the site as people say it, e.g. `Wed 25 Nov`. */
export function formatDay(atMs: number, zone: string): string {
  return formatter(zone, false).format(atMs).replace(',', '');
}

/** As `formatDay`, with the year, e.g. `Wed 25 Nov 2026`: a shift is looked at years later. */
export function formatDate(atMs: number, zone: string): string {
  return formatter(zone, true).format(atMs).replace(',', '');
}

function formatter(zone: string, withYear: boolean): Intl.DateTimeFormat {
  const key = `${zone} ${withYear}`;
  let format = made.get(key);
  if (!format) {
    format = new Intl.DateTimeFormat('en-GB', { timeZone: zone, weekday: 'short', day: 'numeric', month: 'short', ...(withYear ? { year: 'numeric' } : {}) });
    made.set(key, format);
  }
  return format;
}
