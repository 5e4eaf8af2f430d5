/** A stretch of time, Unix ms. */
export interface Stretch {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Closer than this there is nothing to see: sensors give a value a second. */
const LEAST_MS = 60_000;

/** Moved and shortened as little as needed to lie within `bounds` and to be no shorter than a minute, where the bounds allow it. */
export function within(stretch: Stretch, bounds: Stretch): Stretch {
  const most = Math.max(1_000, bounds.toMs - bounds.fromMs);
  const length = Math.min(most, Math.max(Math.min(LEAST_MS, most), stretch.toMs - stretch.fromMs));
  const middle = (stretch.fromMs + stretch.toMs) / 2;
  const wish = stretch.toMs - stretch.fromMs === length ? stretch.fromMs : middle - length / 2;
  const fromMs = Math.round(Math.min(Math.max(wish, bounds.fromMs), bounds.toMs - length));
  return { fromMs, toMs: Math.round(fromMs + length) };
}

/** Longer by `factor` (below 1: shorter), with `aboutMs` staying where it is on the screen. */
export function zoom(stretch: Stretch, bounds: Stretch, factor: number, aboutMs: number): Stretch {
  const about = Math.min(Math.max(aboutMs, stretch.fromMs), stretch.toMs);
  const length = stretch.toMs - stretch.fromMs;
  const wanted = Math.min(bounds.toMs - bounds.fromMs, Math.max(LEAST_MS, length * factor));
  const share = length === 0 ? 0.5 : (about - stretch.fromMs) / length;
  const fromMs = about - wanted * share;
  return within({ fromMs, toMs: fromMs + wanted }, bounds);
}

/** Moved by so many ms, and no further than the bounds. */
export function pan(stretch: Stretch, bounds: Stretch, byMs: number): Stretch {
  return within({ fromMs: stretch.fromMs + byMs, toMs: stretch.toMs + byMs }, bounds);
}

/** Two fingers: what lay under each at first lies under it now. Places in px from the left edge of a plot `widthPx` wide. */
export function pinch(start: Stretch, bounds: Stretch, from: readonly [number, number], to: readonly [number, number], widthPx: number): Stretch {
  const perPx = (start.toMs - start.fromMs) / Math.max(1, widthPx);
  const [a, b] = from.map((px) => start.fromMs + px * perPx) as [number, number];
  const apart = Math.max(1, Math.abs(to[1] - to[0]));
  const nextPerPx = Math.abs(b - a) / apart;
  const fromMs = Math.min(a, b) - Math.min(to[0], to[1]) * nextPerPx;
  return within({ fromMs, toMs: fromMs + nextPerPx * widthPx }, bounds);
}
