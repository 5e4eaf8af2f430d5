import type { AbsolutePressure } from '../quantity/pressure.ts';
import { type Activity, ASSUMED, carboxyhaemoglobin } from './carboxyhaemoglobin.ts';
import { type CoAverage, EIGHT_HOURS, FIFTEEN_MINUTES } from './co-average.ts';
import { type CoWindow, nextCoWindow, openCoWindow, readCoWindow } from './co-window.ts';

/**
 * What one named person breathed, from log-in to log-out under a hood, summed over the rigs they breathed from. Plain data: it goes
 * into a snapshot. Between hoods nothing is measured; the blood is taken to clear in clean air, which it may not.
 */
export interface PersonExposure {
  readonly person: string;
  /** Unix ms of the last step. */
  readonly atMs: number;
  /** Null between hoods. */
  readonly underHood: { readonly rig: string; readonly sinceMs: number } | null;
  readonly eightHours: CoWindow;
  readonly quarterHour: CoWindow;
  /** Share of haemoglobin taken, estimated for an average adult at `activity`. */
  readonly cohb: number;
  /** Highest single reading while under a hood, as a fraction; null before the first. */
  readonly highest: number | null;
}

/** A reading of the panel holds this long, ms; what follows is a gap. */
const HOLD_MS = 10_000;
/** Blasting is taken as heavy work, which takes up most: the estimate errs to the side of more. */
const AT_WORK: Activity = 'heavy';
const AT_REST: Activity = 'rest';

export function newPerson(person: string, atMs: number): PersonExposure {
  return { person, atMs, underHood: null, eightHours: openCoWindow(EIGHT_HOURS * 1000), quarterHour: openCoWindow(FIFTEEN_MINUTES * 1000), cohb: ASSUMED.initial, highest: null };
}

/** Logs the person in under a rig's hood. */
export function hoodOn(exposure: PersonExposure, rig: string, atMs: number, atmosphere: AbsolutePressure): PersonExposure {
  return { ...nextExposure(exposure, atMs, null, atmosphere), underHood: { rig, sinceMs: atMs } };
}

/** Logs the person out; what follows counts as no exposure. */
export function hoodOff(exposure: PersonExposure, atMs: number, atmosphere: AbsolutePressure): PersonExposure {
  return { ...nextExposure(exposure, atMs, null, atmosphere), underHood: null };
}

/**
 * Goes on to `atMs`, with what the panel shows now as a fraction, or null where it shows nothing to rely on. Since the last step the
 * last reading held; without one that counts as a gap in the averages and as the same air in the blood.
 */
export function nextExposure(exposure: PersonExposure, atMs: number, concentration: number | null, atmosphere: AbsolutePressure): PersonExposure {
  if (atMs < exposure.atMs) throw new RangeError('exposure must go on in order of time');
  const isUnder = exposure.underHood !== null;
  const breathed = concentration === null ? null : Math.max(0, concentration);
  // Between hoods the divisor stays eight hours and nothing is added to the dose: no exposure, not a gap.
  const counted = isUnder ? breathed : 0;
  const eightHours = nextCoWindow(exposure.eightHours, atMs, counted, isUnder ? HOLD_MS : Number.MAX_SAFE_INTEGER);
  const quarterHour = nextCoWindow(exposure.quarterHour, atMs, counted, isUnder ? HOLD_MS : Number.MAX_SAFE_INTEGER);
  const held = exposure.eightHours.holding?.concentration ?? 0;
  const cohb = carboxyhaemoglobin({
    concentration: Math.min(0.05, isUnder ? held : 0),
    time: (atMs - exposure.atMs) / 1000,
    activity: isUnder ? AT_WORK : AT_REST,
    initial: exposure.cohb,
    atmosphere,
  });
  const highest = isUnder && breathed !== null ? Math.max(exposure.highest ?? 0, breathed) : exposure.highest;
  return { ...exposure, atMs, eightHours, quarterHour, cohb, highest };
}

export interface ExposureFigures {
  readonly eightHours: CoAverage | undefined;
  readonly quarterHour: CoAverage | undefined;
  readonly cohb: number;
  readonly highest: number | null;
}

/** The figures as they stand; averages are undefined where nothing was measured. */
export function readExposure({ eightHours, quarterHour, cohb, highest }: PersonExposure): ExposureFigures {
  return { eightHours: readCoWindow(eightHours), quarterHour: readCoWindow(quarterHour), cohb, highest };
}
