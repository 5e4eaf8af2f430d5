const MINUTE_MS = 60_000;
const SECOND_MS = 1_000;
const STEPS_MS = [...[1, 2, 5, 10, 15, 30].map((seconds) => seconds * SECOND_MS), ...[1, 2, 5, 10, 15, 30, 60, 120, 180, 240, 360].map((minutes) => minutes * MINUTE_MS)];
const LONGEST_STEP_MS = 720 * MINUTE_MS;

/**
 * Where a time axis has its marks: round times of day at the site, also across a change of daylight saving. Ours, because the
 * published chart library labels hours wrongly around such a change.
 */
export function timeSplits(fromMs: number, toMs: number, zone: string, atMost: number): readonly number[] {
  if (!(toMs > fromMs) || atMost < 1) return [];
  const stepMs = STEPS_MS.find((step) => (toMs - fromMs) / step <= atMost) ?? LONGEST_STEP_MS;
  const splits: number[] = [];
  let atMs = roundUp(fromMs, stepMs, zone);
  while (atMs <= toMs) {
    splits.push(atMs);
    atMs = roundUp(atMs + 1, stepMs, zone);
  }
  return splits;
}

/** The first instant at or after `fromMs` whose local time is a multiple of the step. */
function roundUp(fromMs: number, stepMs: number, zone: string): number {
  const at = (offsetMs: number): number => Math.ceil((fromMs + offsetMs) / stepMs) * stepMs - offsetMs;
  const isRound = (ms: number): boolean => (ms + zoneOffsetMs(ms, zone)) % stepMs === 0;
  const first = at(zoneOffsetMs(fromMs, zone));
  if (isRound(first)) return first;
  // The clocks change on the way: the mark is round by the offset beyond the change, and lies beyond it.
  const beyond = at(zoneOffsetMs(first, zone));
  return isRound(beyond) ? beyond : beyond + stepMs;
}

/** Local time minus UTC at an instant, ms. */
export function zoneOffsetMs(atMs: number, zone: string): number {
  const parts = Object.fromEntries(formatter(zone).formatToParts(atMs).map((p) => [p.type, Number(p.value)]));
  const asUtc = Date.UTC(parts['year'] ?? 0, (parts['month'] ?? 1) - 1, parts['day'], parts['hour'], parts['minute'], parts['second']);
  return asUtc - Math.floor(atMs / 1000) * 1000;
}

const made = new Map<string, Intl.DateTimeFormat>();

function formatter(zone: string): Intl.DateTimeFormat {
  const found = made.get(zone);
  if (found) return found;
  const fresh = new Intl.DateTimeFormat('en-US', {
    timeZone: zone, hourCycle: 'h23', year: 'numeric', month: 'numeric', day: 'numeric', hour: 'numeric', minute: 'numeric', second: 'numeric',
  });
  made.set(zone, fresh);
  return fresh;
}
