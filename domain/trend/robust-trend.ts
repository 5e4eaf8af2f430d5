import { type MedianSlots, type Slot, medianOf, nextMedianSlots, openMedianSlots } from './median-slots.ts';

/** A straight line through the recent past with the limits its slope lies within in 95 of 100 cases. */
export interface Trend {
  /** Per second. */
  readonly slope: number;
  readonly low: number;
  readonly high: number;
  /** The line's value at the newest slot, and the standard error of it. */
  readonly level: number;
  readonly levelError: number;
  /** True where the limits agree on the direction. */
  readonly significant: boolean;
}

const KEEP = 30;
/** Fewer slots than this show no trend, whatever they do. */
const FEWEST = 8;
const Z95 = 1.96;

/** Looks back over thirty slots: one minute each for half an hour. */
export function openTrend(slotMs = 60_000): MedianSlots {
  return openMedianSlots(slotMs, KEEP);
}

/** Takes the next value, in order of time; constant memory. */
export const nextTrend = nextMedianSlots;

/** Correlation of neighbours in what the line leaves over, between 0 and 0.95. */
function neighbourCorrelation(left: readonly number[]): number {
  const centre = medianOf(left);
  let [product, square] = [0, 0];
  left.forEach((value, at) => {
    square += (value - centre) ** 2;
    if (at > 0) product += (value - centre) * ((left[at - 1] ?? centre) - centre);
  });
  // The estimate from so few runs low (by about (1 + 4ρ)/n): lift it, an interval too wide is the lesser lie.
  const raw = square > 0 ? product / square : 0;
  return Math.min(0.95, Math.max(0, raw + (1 + 4 * raw) / left.length));
}

function slopesOf(slots: readonly Slot[], slotSeconds: number): number[] {
  const slopes: number[] = [];
  slots.forEach((later, at) => {
    for (const earlier of slots.slice(0, at)) slopes.push((later.middle - earlier.middle) / ((later.number - earlier.number) * slotSeconds));
  });
  return slopes.sort((a, b) => a - b);
}

/**
 * The trend as it stands: Theil–Sen slope with Sen's interval (1968), widened for readings that hang together in time.
 * Undefined until there are eight slots.
 */
export function readTrend({ done: slots, slotMs }: MedianSlots): Trend | undefined {
  const newest = slots.at(-1);
  if (!newest || slots.length < FEWEST) return undefined;
  const slotSeconds = slotMs / 1000;
  const slopes = slopesOf(slots, slotSeconds);
  const slope = ((slopes[(slopes.length - 1) >> 1] ?? 0) + (slopes[slopes.length >> 1] ?? 0)) / 2;
  const ages = slots.map((slot) => (slot.number - newest.number) * slotSeconds);
  const flattened = slots.map((slot, at) => slot.middle - slope * (ages[at] ?? 0));
  const level = medianOf(flattened);
  const left = flattened.map((value) => value - level);
  const correlation = neighbourCorrelation(left);
  const n = slots.length;
  const inflation = (1 + correlation) / (1 - correlation);
  const reach = Z95 * Math.sqrt(((n * (n - 1) * (2 * n + 5)) / 18) * inflation);
  const below = Math.floor((slopes.length - reach) / 2) - 1;
  const above = Math.ceil((slopes.length + reach) / 2);
  const low = slopes[below] ?? -Infinity;
  const high = slopes[above] ?? Infinity;
  // At the end of the window a line is twice as uncertain as in its middle.
  const levelError = ((2 * 1.4826 * 1.2533) / Math.sqrt(n)) * medianOf(left.map(Math.abs)) * Math.sqrt(inflation);
  return { slope, low, high, level, levelError, significant: low > 0 || high < 0 };
}
