import { findPointKind } from '../../../domain/points/catalogue.ts';
import type { RecordedSeries } from '../../api/shifts.ts';
import type { Span } from '../../chart/blasting-spans.ts';
import type { Column } from '../../chart/column.ts';
import { type UnitSystem, inSystem } from '../../format/units.ts';

/** One panel of the viewer: points that are read against one another share it. */
export interface Panel {
  readonly key: 'pressure' | 'co' | 'breathing' | 'loss' | 'steel' | 'dew' | 'humidity';
  /** The first is the one the panel is about: drawn strongest. */
  readonly points: readonly string[];
  /** Least the scale shows, in the points' default unit. */
  readonly range: readonly [low: number, high: number];
}

/** In the order of practice: air first, then the line, then steel and weather. */
export const PANELS: readonly Panel[] = [
  { key: 'pressure', points: ['nozzle-pressure', 'supply-pressure'], range: [0, 130] },
  { key: 'co', points: ['breathing-air-co'], range: [0, 15] },
  { key: 'breathing', points: ['breathing-air-pressure'], range: [0, 100] },
  { key: 'loss', points: ['line-loss'], range: [0, 20] },
  { key: 'steel', points: ['steel-margin'], range: [0, 10] },
  { key: 'dew', points: ['air-line-dew-point'], range: [-10, 30] },
  { key: 'humidity', points: ['ambient-humidity'], range: [0, 100] },
];

/** Drawn behind all panels. */
export const SHADED = 'blasting';

export function pointsOf(panels: readonly Panel[]): readonly string[] {
  return panels.flatMap((panel) => panel.points);
}

/** A value in the reader's unit. */
export function measureOf(point: string, value: number, system: UnitSystem): { readonly value: number; readonly symbol: string; readonly decimals: number } {
  const kind = findPointKind(point);
  return kind ? inSystem(value, kind.unit, kind.dimension, system) : { value, symbol: '', decimals: 1 };
}

export function columnOf(series: RecordedSeries | undefined, system: UnitSystem): Column {
  if (!series) return { atMs: [], min: [], max: [] };
  const turn = (value: number | null): number | null => (value === null ? null : measureOf(series.id, value, system).value);
  return { atMs: series.atMs, min: series.min.map(turn), max: series.max.map(turn) };
}

/** Stretches in which nothing is known: from a null to the next value, and what was erased. */
export function gapSpans(series: RecordedSeries | undefined, toMs: number): readonly Span[] {
  if (!series) return [];
  const spans: Span[] = [];
  let fromMs: number | null = null;
  series.atMs.forEach((atMs, index) => {
    const isGap = (series.max[index] ?? null) === null;
    if (isGap && fromMs === null) fromMs = atMs;
    if (!isGap && fromMs !== null) {
      spans.push({ fromMs, toMs: atMs });
      fromMs = null;
    }
  });
  if (fromMs !== null && toMs > fromMs) spans.push({ fromMs, toMs });
  return [...spans, ...series.erased.map((one) => ({ fromMs: one.fromMs, toMs: one.toMs }))];
}

/** Stretches of late values, each as long as the step to the next value. */
export function lateSpans(series: RecordedSeries | undefined, toMs: number): readonly Span[] {
  if (!series) return [];
  const { late } = series;
  const spans: { fromMs: number; toMs: number }[] = [];
  series.atMs.forEach((atMs, index) => {
    if (!late[index]) return;
    const endMs = series.atMs[index + 1] ?? toMs;
    const last = spans.at(-1);
    if (last && last.toMs === atMs) last.toMs = endMs;
    else spans.push({ fromMs: atMs, toMs: endMs });
  });
  return spans;
}

/** True where readings were erased when their time to be kept was over. */
export function isErased(series: RecordedSeries | undefined, atMs: number): boolean {
  return series?.erased.some((one) => one.fromMs <= atMs && one.toMs > atMs) ?? false;
}

export interface AtCursor {
  readonly low: number;
  readonly high: number;
  readonly isLate: boolean;
}

/** What a point read at an instant, in its default unit: the step that holds it. Null where nothing is known. */
export function valueAt(series: RecordedSeries | undefined, atMs: number): AtCursor | null {
  if (!series || series.atMs.length === 0) return null;
  let low = 0;
  let high = series.atMs.length - 1;
  if ((series.atMs[0] as number) > atMs) return null;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((series.atMs[middle] as number) <= atMs) low = middle;
    else high = middle - 1;
  }
  const min = series.min[low] ?? null;
  const max = series.max[low] ?? null;
  return min === null || max === null ? null : { low: min, high: max, isLate: series.late[low] ?? false };
}
