import type { Column } from '../../chart/column.ts';

/** The field a short trace is drawn on; it is stretched to the room it gets. */
export const FIELD = { width: 120, height: 24 } as const;
/** Room at the edges, so that no stroke is cut. */
const EDGE = 2;

export interface ShortShape {
  /** One outline for each stretch without a gap: along the highest and back along the lowest. */
  readonly paths: readonly string[];
  /** Heights of the limits that lie within the scale. */
  readonly limits: readonly number[];
}

export interface ShortScale {
  readonly fromMs: number;
  readonly toMs: number;
  /** The least that the height stands for, in the column's unit: below it a quiet line would look like a wild one. */
  readonly leastSpan: number;
  readonly limits: readonly number[];
}

/** A column as the short trace draws it. A gap ends a stretch: nothing is drawn across it. */
export function shortShape(column: Column, { fromMs, toMs, leastSpan, limits }: ShortScale): ShortShape {
  const known = [...column.min, ...column.max].filter((value) => value !== null);
  if (known.length === 0 || toMs <= fromMs) return { paths: [], limits: [] };
  const [low, high] = scaleOf(known, leastSpan);
  const x = (atMs: number): number => (Math.min(1, Math.max(0, (atMs - fromMs) / (toMs - fromMs))) * FIELD.width);
  const y = (value: number): number => EDGE + (1 - (value - low) / (high - low)) * (FIELD.height - 2 * EDGE);
  return {
    paths: stretchesOf(column).map((places) => outline(column, places, x, y)),
    limits: limits.filter((limit) => limit >= low && limit <= high).map(y),
  };
}

function scaleOf(known: readonly number[], leastSpan: number): readonly [low: number, high: number] {
  const low = Math.min(...known);
  const high = Math.max(...known);
  const missing = Math.max(0, leastSpan - (high - low)) / 2;
  return [low - missing, high + missing];
}

/** Places of the column that belong together. */
function stretchesOf(column: Column): readonly (readonly number[])[] {
  const stretches: number[][] = [];
  let current: number[] | null = null;
  column.atMs.forEach((_, place) => {
    if (column.min[place] === null || column.max[place] === null) current = null;
    else if (current) current.push(place);
    else stretches.push((current = [place]));
  });
  return stretches;
}

function outline(column: Column, places: readonly number[], x: (atMs: number) => number, y: (value: number) => number): string {
  const spot = (values: readonly (number | null)[], place: number): string => `${rounded(x(column.atMs[place] ?? 0))} ${rounded(y(values[place] ?? 0))}`;
  const there = places.map((place) => spot(column.max, place));
  const back = places.map((place) => spot(column.min, place)).reverse();
  // A single reading still is a mark: an outline without any length is not drawn.
  return places.length === 1 ? `M${there[0]}L${back[0]}h.4` : `M${there.join('L')}L${back.join('L')}`;
}

function rounded(value: number): number {
  return Math.round(value * 10) / 10;
}
