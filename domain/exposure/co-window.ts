import { type CoAverage } from './co-average.ts';

/**
 * A rolling time-weighted average in constant memory: the window is cut into equal buckets that are filled in order of time;
 * of the oldest one, only the part still inside the window counts. Plain data: it goes into a snapshot.
 */
export interface CoWindow {
  readonly overMs: number;
  readonly bucketMs: number;
  /** Newest last. Dose in fraction × ms. */
  readonly buckets: readonly Bucket[];
  /** The reading that still holds, and since when. */
  readonly holding: { readonly concentration: number | null; readonly sinceMs: number } | null;
}

interface Bucket {
  readonly number: number;
  readonly dose: number;
  readonly measuredMs: number;
  readonly gapMs: number;
  readonly highest: number;
}

/** An empty window over `overMs`, in 96 buckets: of 5 minutes for eight hours, of 9.4 s for a quarter of one. */
export function openCoWindow(overMs: number): CoWindow {
  if (!(overMs > 0 && Number.isFinite(overMs))) throw new RangeError(`over must be above 0, found ${overMs} ms`);
  return { overMs, bucketMs: overMs / 96, buckets: [], holding: null };
}

function fill(bucket: Bucket, concentration: number | null, ms: number): Bucket {
  if (concentration === null) return { ...bucket, gapMs: bucket.gapMs + ms };
  return { ...bucket, dose: bucket.dose + concentration * ms, measuredMs: bucket.measuredMs + ms, highest: Math.max(bucket.highest, concentration) };
}

/**
 * Takes the next reading, in order of time; null is a reading without a usable value, and begins a gap. A reading holds until
 * the next, but no longer than `holdMs`: what follows is a gap.
 */
export function nextCoWindow(window: CoWindow, atMs: number, concentration: number | null, holdMs: number): CoWindow {
  const { holding, bucketMs } = window;
  if (!holding) return { ...window, holding: { concentration, sinceMs: atMs } };
  if (atMs < holding.sinceMs) throw new RangeError('readings must come in order of time');
  const first = Math.floor((atMs - window.overMs) / bucketMs);
  const oldest = window.buckets[0];
  const buckets = oldest && oldest.number < first ? window.buckets.filter((bucket) => bucket.number >= first) : [...window.buckets];
  const heldUntil = holding.concentration === null ? holding.sinceMs : Math.min(atMs, holding.sinceMs + holdMs);
  // Nothing older than the window is worth filling: a long silence costs no more than a window.
  for (let from = Math.max(holding.sinceMs, first * bucketMs); from < atMs; ) {
    const number = Math.floor(from / bucketMs);
    const held = from < heldUntil;
    const to = Math.min(atMs, (number + 1) * bucketMs, held ? heldUntil : Infinity);
    const last = buckets.at(-1);
    const open = last?.number === number ? buckets.pop() : undefined;
    buckets.push(fill(open ?? { number, dose: 0, measuredMs: 0, gapMs: 0, highest: 0 }, held ? holding.concentration : null, to - from));
    from = to > from ? to : atMs;
  }
  return { ...window, buckets, holding: { concentration, sinceMs: atMs } };
}

/**
 * The average over the window as far as it is filled, always divided by the whole window: the first minutes of a shift count
 * as what they are, a small part of the day. Undefined where nothing was measured. Times in s.
 */
export function readCoWindow(window: CoWindow): CoAverage | undefined {
  let [dose, measured, gap, highest] = [0, 0, 0, 0];
  const start = (window.holding?.sinceMs ?? 0) - window.overMs;
  for (const bucket of window.buckets) {
    const share = Math.min(1, bucket.number + 1 - start / window.bucketMs);
    if (share <= 0) continue;
    dose += share * bucket.dose;
    measured += share * bucket.measuredMs;
    gap += share * bucket.gapMs;
    highest = Math.max(highest, bucket.highest);
  }
  if (measured === 0) return undefined;
  const over = window.overMs;
  return { average: (dose + (dose / measured) * gap) / over, atLeast: dose / over, atMost: (dose + highest * gap) / over, measured: measured / 1000, gap: gap / 1000 };
}
