/** Time of day at the site, whatever zone the device believes in. */
export function formatClock(atMs: number, zone: string, withSeconds: boolean): string {
  return formatter(zone, withSeconds ? 'hms' : 'hm').format(atMs);
}

/** The zone's abbreviation at that instant, e.g. CST; it changes with daylight saving, so the instant matters. */
export function zoneAbbreviation(atMs: number, zone: string): string {
  const part = formatter(zone, 'zone').formatToParts(atMs).find((p) => p.type === 'timeZoneName');
  return part?.value ?? zone;
}

type Form = 'hms' | 'hm' | 'zone';
const OPTIONS: Readonly<Record<Form, Intl.DateTimeFormatOptions>> = {
  hms: { hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23' },
  hm: { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' },
  zone: { hour: '2-digit', timeZoneName: 'short' },
};

/** Formatters are slow to make and every tick of every axis needs one. */
const made = new Map<string, Intl.DateTimeFormat>();

function formatter(zone: string, form: Form): Intl.DateTimeFormat {
  const key = `${form} ${zone}`;
  const found = made.get(key);
  if (found) return found;
  const fresh = new Intl.DateTimeFormat('en-US', { ...OPTIONS[form], timeZone: zone });
  made.set(key, fresh);
  return fresh;
}
