import type { Window } from './count-windows.ts';

export interface RateBar {
  readonly fromMs: number;
  readonly toMs: number;
  readonly count: number;
}

const WINDOW_MS = 600_000;

/** Ten-minute windows put together to as many bars as there is room for. A bar is as high as its highest window: a peak is never averaged away. */
export function rateBars(windows: readonly Window[], atMost: number): readonly RateBar[] {
  const perBar = Math.max(1, Math.ceil(windows.length / Math.max(1, atMost)));
  const bars: RateBar[] = [];
  for (let i = 0; i < windows.length; i += perBar) {
    const part = windows.slice(i, i + perBar);
    const first = part[0] as RateBar;
    const last = part.at(-1) as RateBar;
    bars.push({ fromMs: first.fromMs, toMs: last.fromMs + WINDOW_MS, count: Math.max(...part.map((w) => w.count)) });
  }
  return bars;
}
