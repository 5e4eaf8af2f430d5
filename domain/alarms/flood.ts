/** When so many alarms come that nobody reads them: a flood starts above the one number and ends below the other. */
export interface FloodSettings {
  readonly startsAbove: number;
  readonly endsBelow: number;
  readonly windowMs: number;
}

/** More than 10 in 10 minutes until fewer than 5 (ISA-18.2, seen in a secondary source). */
export const USUAL_FLOOD: FloodSettings = { startsAbove: 10, endsBelow: 5, windowMs: 600_000 };

export interface Flood {
  /** Annunciations within the window, oldest first. */
  readonly raisedAtMs: readonly number[];
  /** Null while there is none. */
  readonly sinceMs: number | null;
}

export const NO_FLOOD: Flood = { raisedAtMs: [], sinceMs: null };

/** The flood after `raised` more annunciations at `atMs`, or after time alone. */
export function nextFlood(flood: Flood, settings: FloodSettings, atMs: number, raised: number): Flood {
  const kept = flood.raisedAtMs.filter((ms) => ms > atMs - settings.windowMs);
  const raisedAtMs = [...kept, ...Array.from({ length: raised }, () => atMs)];
  const isOn = flood.sinceMs !== null ? raisedAtMs.length >= settings.endsBelow : raisedAtMs.length > settings.startsAbove;
  return { raisedAtMs, sinceMs: isOn ? (flood.sinceMs ?? atMs) : null };
}

/** When a flood ends if nothing more comes; null while there is none. */
export function floodEndsAtMs(flood: Flood, settings: FloodSettings): number | null {
  if (flood.sinceMs === null) return null;
  const last = flood.raisedAtMs[flood.raisedAtMs.length - settings.endsBelow];
  return (last ?? flood.sinceMs) + settings.windowMs;
}
