import { atmosphereAt } from '../../quantity/pressure.ts';
import { findPointKind } from '../../points/catalogue.ts';
import type { Figure, Headline } from '../headline.ts';
import { metresOf, type Shift, type ShiftItem } from '../shift.ts';
import { type AlarmsOnShift, alarmsOn, type ToldMove } from './alarms.ts';
import { type Consumption, consumptionOn } from './consumption.ts';
import { type Coverage, coverageOf, silences } from './coverage.ts';
import { EXPOSURE_ASSUMPTIONS, peopleOn, type PersonOnShift } from './people.ts';
import { type NozzlePressure, nozzlePressureOf } from './pressure.ts';
import { type Series, type Stretch, whenever } from './series.ts';
import { type NozzleWear, wearOn } from './wear.ts';
import { CLIMATE, type ConditionOnShift, conditionsOn, MOISTURE } from './windows.ts';
import { type Work, workOf } from './work.ts';

/** All that a shift is summed up from. */
export interface ShiftMaterial {
  readonly shift: Shift;
  /** The end of what is summed up: the shift's, or now for an open one. */
  readonly endMs: number;
  readonly items: readonly ShiftItem[];
  /** Points as the rig sees them: its own, its compressor's, the site's. */
  readonly series: readonly Series[];
  /** Moves of the alarms of the rig, its compressor and its site, in order of time; from before the shift too, where something stood. */
  readonly moves: readonly ToldMove[];
  /** psi gauge. */
  readonly wanted: { readonly low: number; readonly high: number } | null;
  /** As configured, metres. */
  readonly fitted: { readonly nozzle: number | null; readonly hose: { readonly bore: number; readonly length: number } | null };
  /** Metres. */
  readonly elevation: number;
}

export interface ShiftSummary {
  readonly shift: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** First, because a record is worth what its gaps leave of it. */
  readonly coverage: readonly Coverage[];
  readonly work: Work | null;
  readonly nozzle: NozzlePressure | null;
  readonly people: readonly PersonOnShift[];
  readonly coMax: Figure | null;
  readonly moisture: readonly ConditionOnShift[];
  readonly climate: readonly ConditionOnShift[];
  readonly wear: NozzleWear;
  readonly used: Consumption;
  readonly alarms: AlarmsOnShift;
  readonly assumptions: readonly string[];
}

/** Silence of the whole site is told as such beyond this. */
const SITE_SILENT_MS = 10_000;

export const ASSUMPTIONS: readonly string[] = [
  'Pressures are gauge. A value holds until the next one, at most as long as its point may be silent.',
  'Production lost is the trade’s rule of 1.5 % per psi below what is wanted; a rule of thumb.',
  'Air is computed from the nozzle’s bore and pressure; abrasive from that air by the charts’ ratio, ±30 %.',
];

/** Sums a shift up. Pure: the same material gives the same summary, figure for figure. */
export function summarise(material: ShiftMaterial): ShiftSummary {
  const { shift, items } = material;
  const stretch: Stretch = { fromMs: shift.startedAtMs, toMs: Math.max(shift.startedAtMs + 1, material.endMs) };
  const atmosphere = atmosphereAt(material.elevation);
  const find = (point: string): Series | undefined => material.series.find((one) => one.point === point && one.atMs.length > 0);
  const measured = material.series.filter(({ point }) => findPointKind(point)?.origin === 'measured');
  const silent = silences(measured, stretch, SITE_SILENT_MS);
  const [blasting, nozzle, co] = [find('blasting'), find('nozzle-pressure'), find('breathing-air-co')];
  const bursts = blasting ? whenever(blasting, stretch, (value) => value === 1) : [];
  const bore = metresOf(shift.setup.nozzleBore) ?? material.fitted.nozzle;
  const people = peopleOn(items, co, stretch, atmosphere);
  return {
    shift: shift.id,
    ...stretch,
    coverage: measured.map((series) => coverageOf(series, stretch, silent)),
    work: workOf(blasting, find('remote-control'), stretch),
    nozzle: (nozzle && nozzlePressureOf(nozzle, bursts, material.wanted)) ?? null,
    people,
    coMax: highestOf(co, stretch, '[ppm]'),
    moisture: conditionsOn(MOISTURE, find, stretch),
    climate: conditionsOn(CLIMATE, find, stretch),
    wear: wearOn(shift, items, find('supply-pressure'), material.fitted, atmosphere),
    used: consumptionOn(items, nozzle, bursts, bore, stretch, atmosphere),
    alarms: alarmsOn(material.moves, stretch),
    assumptions: [...ASSUMPTIONS, ...(people.length === 0 ? [] : EXPOSURE_ASSUMPTIONS)],
  };
}

function highestOf(series: Series | undefined, { fromMs, toMs }: Stretch, unit: string): Figure | null {
  let highest: number | null = null;
  series?.atMs.forEach((ms, index) => {
    const value = series.value[index] ?? null;
    if (value !== null && ms >= fromMs && ms <= toMs && (highest === null || value > highest)) highest = value;
  });
  return highest === null ? null : { value: highest, unit };
}

/** What the list shows. */
export function headlineOf(summary: ShiftSummary): Headline {
  const { coverage, work, nozzle, alarms, wear } = summary;
  return {
    blastingMs: Math.round((work?.blasting.value ?? 0) * 3_600_000),
    nozzleMedian: nozzle?.median ?? null,
    coMax: summary.coMax,
    audibleAlarms: alarms.audible,
    criticalAlarms: alarms.byPriority.critical,
    coverage: coverage.length === 0 ? null : coverage.reduce((sum, { fraction }) => sum + fraction, 0) / coverage.length,
    lostProduction: nozzle?.lostProduction ?? null,
    boreStart: wear.start,
    boreEnd: wear.end,
  };
}
