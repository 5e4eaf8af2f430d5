const made = new Map<string, Intl.DateTimeFormat>();

/** The day at the site as people say it, e.g. `Wed 25 Nov`. */
export function formatDay(atMs: number, zone: string): string {
  let format = made.get(zone);
  if (!format) {
    format = new Intl.DateTimeFormat('en-GB', { timeZone: zone, weekday: 'short', day: 'numeric', month: 'short' });
    made.set(zone, format);
  }
  return format.format(atMs).replace(',', '');
}
