import { ASSUMED } from '../../exposure/carboxyhaemoglobin.ts';
import { coAverage } from '../../exposure/co-average.ts';
import { hoodOff, hoodOn, newPerson, nextExposure, readExposure } from '../../exposure/person-exposure.ts';
import type { AbsolutePressure } from '../../quantity/pressure.ts';
import type { Figure } from '../headline.ts';
import type { ShiftItem } from '../shift.ts';
import { type Series, type Stretch, held, lengthOf, overlapMs } from './series.ts';

/** What a named person breathed under the hood on this shift. */
export interface PersonOnShift {
  readonly name: string;
  readonly underHood: readonly Stretch[];
  readonly time: Figure;
  /** Share of that time with a reading to rely on, 0 to 1. */
  readonly measured: number;
  readonly highest: Figure | null;
  readonly highest5min: Figure | null;
  readonly highest15min: Figure | null;
  /** Over eight hours; what was not measured counts as the mean of what was. */
  readonly average8h: Figure | null;
  /** The same with gaps counted as nothing, and as the highest seen. */
  readonly average8hAtLeast: Figure | null;
  readonly average8hAtMost: Figure | null;
  readonly carboxyhaemoglobin: Figure;
}

const ppm = (value: number | null | undefined): Figure | null => (value === null || value === undefined ? null : { value: Math.round(value * 10) / 10, unit: '[ppm]' });

/** What the figures assume; printed with them. */
export const EXPOSURE_ASSUMPTIONS: readonly string[] = [
  'The panel’s reading is what was breathed; a reading holds for ten seconds at most.',
  'Only this shift on this rig is counted: what was breathed before it or elsewhere is not.',
  'The five- and fifteen-minute figures are means over the whole five or fifteen minutes; time outside a hood counts as none.',
  `Carboxyhaemoglobin is an estimate by the Coburn-Forster-Kane equation for an average adult at heavy work who began at ${ASSUMED.initial * 100} %. It is not a blood test.`,
];

/** Under-hood times by name, from what was logged; who was not logged out was under the hood until the end of the shift. */
export function hoodTimes(items: readonly ShiftItem[], shift: Stretch): Map<string, Stretch[]> {
  const times = new Map<string, Stretch[]>();
  const since = new Map<string, number>();
  for (const item of items) {
    if (item.kind === 'hood-in') since.set(item.name, Math.max(shift.fromMs, item.atMs));
    if (item.kind !== 'hood-out') continue;
    // Logged out without having been logged in on this shift: under the hood since before it began.
    times.set(item.name, [...(times.get(item.name) ?? []), { fromMs: since.get(item.name) ?? shift.fromMs, toMs: item.atMs }]);
    since.delete(item.name);
  }
  for (const [name, fromMs] of since) times.set(name, [...(times.get(name) ?? []), { fromMs, toMs: shift.toMs }]);
  return times;
}

/** Exposure of each person who was logged under a hood, by name. */
export function peopleOn(items: readonly ShiftItem[], co: Series | undefined, shift: Stretch, atmosphere: AbsolutePressure): PersonOnShift[] {
  return [...hoodTimes(items, shift)].sort(([a], [b]) => (a < b ? -1 : 1)).map(([name, underHood]) => personOn(name, underHood, co, shift, atmosphere));
}

function personOn(name: string, underHood: readonly Stretch[], co: Series | undefined, shift: Stretch, atmosphere: AbsolutePressure): PersonOnShift {
  let exposure = newPerson(name, shift.fromMs);
  for (const stretch of underHood) {
    exposure = hoodOn(exposure, '', stretch.fromMs, atmosphere);
    for (const [index, atMs] of (co?.atMs ?? []).entries()) {
      if (atMs <= stretch.fromMs || atMs >= stretch.toMs) continue;
      const value = co?.value[index] ?? null;
      exposure = nextExposure(exposure, atMs, value === null ? null : value / 1e6, atmosphere);
    }
    exposure = hoodOff(exposure, stretch.toMs, atmosphere);
  }
  const { cohb, highest } = readExposure(exposure);
  const breathed = co ? breathedBy(co, underHood) : [];
  const spentMs = Math.max(1, lengthOf(underHood));
  const isMeasured = breathed.length > 0;
  const gap = { concentration: null, duration: Math.max(0, spentMs - lengthOf(breathed)) / 1000 };
  const eightHours = isMeasured ? coAverage([...breathed.map(({ fromMs, toMs, value }) => ({ concentration: value / 1e6, duration: (toMs - fromMs) / 1000 })), gap]) : undefined;
  return {
    name,
    underHood,
    time: { value: lengthOf(underHood) / 3_600_000, unit: 'h' },
    measured: lengthOf(breathed) / spentMs,
    highest: ppm(highest === null ? null : highest * 1e6),
    highest5min: isMeasured ? ppm(highestMean(breathed, 300_000)) : null,
    highest15min: isMeasured ? ppm(highestMean(breathed, 900_000)) : null,
    average8h: ppm(eightHours && eightHours.average * 1e6),
    average8hAtLeast: ppm(eightHours && eightHours.atLeast * 1e6),
    average8hAtMost: ppm(eightHours && eightHours.atMost * 1e6),
    carboxyhaemoglobin: { value: Math.round(cohb * 10_000) / 100, unit: '%' },
  };
}

interface Breathed extends Stretch {
  readonly value: number;
}

function breathedBy(co: Series, underHood: readonly Stretch[]): Breathed[] {
  const result: Breathed[] = [];
  for (const stretch of underHood) {
    for (const { fromMs, toMs, value } of held({ ...co, gapMs: Math.min(co.gapMs, 10_000) }, stretch)) if (value !== null && overlapMs({ fromMs, toMs }, stretch) > 0) result.push({ fromMs, toMs, value: Math.max(0, value) });
  }
  return result;
}

/** The highest mean over any `overMs`, in the unit of the values. A mean is highest where its window ends with a reading or begins with one. */
export function highestMean(breathed: readonly Breathed[], overMs: number): number {
  const doses = [0];
  for (const { fromMs, toMs, value } of breathed) doses.push((doses.at(-1) ?? 0) + (toMs - fromMs) * value);
  /** Dose up to an instant. */
  let place = 0;
  const upTo = (ms: number): number => {
    while (place < breathed.length && (breathed[place]?.toMs ?? 0) <= ms) place += 1;
    while (place > 0 && (breathed[place - 1]?.toMs ?? 0) > ms) place -= 1;
    const open = breathed[place];
    return (doses[place] ?? 0) + (open && open.fromMs < ms ? (ms - open.fromMs) * open.value : 0);
  };
  let highest = 0;
  const edges = breathed.flatMap(({ fromMs, toMs }) => [fromMs + overMs, toMs]).sort((a, b) => a - b);
  const starts = edges.map((end) => end - overMs);
  const ends = edges.map(upTo);
  place = 0;
  starts.forEach((start, index) => (highest = Math.max(highest, (ends[index] ?? 0) - upTo(start))));
  return highest / overMs;
}
