/**
 * A series boiled down in constant memory: time is cut into slots, each keeps the median of its readings, and only the last
 * slots are kept. Plain data: it goes into a snapshot.
 */
export interface MedianSlots {
  readonly slotMs: number;
  readonly keep: number;
  /** Completed slots, oldest first; a slot without readings is not there. */
  readonly done: readonly Slot[];
  readonly filling: { readonly number: number; readonly values: readonly number[]; readonly stride: number; readonly seen: number };
}

export interface Slot {
  /** Time since the epoch over `slotMs`, whole. */
  readonly number: number;
  readonly middle: number;
}

/** Readings a filling slot holds; beyond it every second one is let go, and of what comes only every second one is taken. */
const MOST = 32;

/** @throws RangeError unless both are above 0. */
export function openMedianSlots(slotMs: number, keep: number): MedianSlots {
  if (!(slotMs > 0 && Number.isFinite(slotMs))) throw new RangeError(`slot must be above 0, found ${slotMs} ms`);
  if (!(keep >= 2 && Number.isInteger(keep))) throw new RangeError(`slots to keep must be a whole number from 2, found ${keep}`);
  return { slotMs, keep, done: [], filling: { number: -1, values: [], stride: 1, seen: 0 } };
}

/** Median; NaN of nothing. */
export function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return ((sorted[(sorted.length - 1) >> 1] ?? NaN) + (sorted[sorted.length >> 1] ?? NaN)) / 2;
}

/** Takes the next value, in order of time. @throws RangeError for one that is older than the slot now filling, or not finite. */
export function nextMedianSlots(slots: MedianSlots, atMs: number, value: number): MedianSlots {
  if (!Number.isFinite(value)) throw new RangeError(`value must be finite, found ${value}`);
  const { filling, slotMs, keep } = slots;
  const number = Math.floor(atMs / slotMs);
  if (number < filling.number) throw new RangeError('readings must come in order of time');
  if (number === filling.number) return { ...slots, filling: take(filling, value) };
  const completed = filling.values.length > 0 ? [...slots.done, { number: filling.number, middle: medianOf(filling.values) }] : slots.done;
  return { ...slots, done: completed.filter((slot) => slot.number >= number - keep), filling: { number, values: [value], stride: 1, seen: 1 } };
}

function take(filling: MedianSlots['filling'], value: number): MedianSlots['filling'] {
  const seen = filling.seen + 1;
  if (filling.seen % filling.stride !== 0) return { ...filling, seen };
  if (filling.values.length < MOST) return { ...filling, seen, values: [...filling.values, value] };
  const thinned = filling.values.filter((_, at) => at % 2 === 0);
  return { number: filling.number, seen, stride: filling.stride * 2, values: [...thinned, value] };
}
