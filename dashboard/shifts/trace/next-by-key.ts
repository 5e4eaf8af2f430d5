import { type Stretch, pan, zoom } from './stretch.ts';

export interface Viewed {
  readonly stretch: Stretch;
  readonly cursorMs: number | null;
}

const STEP = 1 / 200;
const LARGE_STEP = 1 / 20;

/** The view after a key; null where the key means nothing here. Arrows move the cursor and take the stretch along at its edges. */
export function nextByKey({ stretch, cursorMs }: Viewed, key: string, isLarge: boolean, bounds: Stretch): Viewed | null {
  const length = stretch.toMs - stretch.fromMs;
  const middle = cursorMs ?? stretch.fromMs + length / 2;
  const moveCursor = (toMs: number): Viewed => {
    const at = Math.min(bounds.toMs, Math.max(bounds.fromMs, toMs));
    const isOut = at < stretch.fromMs || at > stretch.toMs;
    return { cursorMs: at, stretch: isOut ? pan(stretch, bounds, at < stretch.fromMs ? at - stretch.fromMs : at - stretch.toMs) : stretch };
  };
  const step = length * (isLarge ? LARGE_STEP : STEP);
  switch (key) {
    case 'ArrowLeft': return moveCursor(cursorMs === null ? middle : cursorMs - step);
    case 'ArrowRight': return moveCursor(cursorMs === null ? middle : cursorMs + step);
    case '+': case '=': return { cursorMs, stretch: zoom(stretch, bounds, 0.5, middle) };
    case '-': case '_': return { cursorMs, stretch: zoom(stretch, bounds, 2, middle) };
    case 'PageUp': return { cursorMs, stretch: pan(stretch, bounds, -length / 2) };
    case 'PageDown': return { cursorMs, stretch: pan(stretch, bounds, length / 2) };
    case 'Home': return moveCursor(bounds.fromMs);
    case 'End': return moveCursor(bounds.toMs);
    case '0': return { cursorMs, stretch: bounds };
    default: return null;
  }
}
