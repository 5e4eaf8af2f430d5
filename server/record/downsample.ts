import type { TraceSeries } from '../../domain/wire/trace.ts';
import type { Sample } from './store.ts';

export interface Window {
  readonly fromMs: number;
  readonly toMs: number;
  /** Pixels to fill. */
  readonly width: number;
  /** Silence longer than this is a gap. */
  readonly gapMs: number;
}

/**
 * The lowest and highest of each pixel, so that a single sample is seen at any zoom. One pass over samples in order of time.
 * A null pair marks a gap: silence, or values too bad to draw.
 */
export function downsample(samples: Iterable<Sample>, window: Window): Pick<TraceSeries, 'atMs' | 'min' | 'max'> {
  const atMs: number[] = [];
  const min: (number | null)[] = [];
  const max: (number | null)[] = [];
  const pixelMs = Math.max(1, (window.toMs - window.fromMs) / window.width);
  let pixel = -1;
  let previousMs: number | null = null;
  const gap = (at: number): void => {
    const last = atMs.at(-1);
    if (last === undefined || min.at(-1) === null) return;
    atMs.push(Math.max(last + 1, at));
    min.push(null);
    max.push(null);
    pixel = -1;
  };
  for (const sample of samples) {
    if (sample.value === null) {
      gap(sample.atMs);
      continue;
    }
    if (previousMs !== null && sample.atMs - previousMs > window.gapMs) gap(previousMs + 1);
    previousMs = sample.atMs;
    const here = Math.floor((sample.atMs - window.fromMs) / pixelMs);
    const last = atMs.length - 1;
    if (here === pixel || (last >= 0 && sample.atMs <= (atMs[last] ?? 0) && min[last] !== null)) {
      min[last] = Math.min(min[last] ?? sample.value, sample.value);
      max[last] = Math.max(max[last] ?? sample.value, sample.value);
      continue;
    }
    pixel = here;
    atMs.push(Math.max(sample.atMs, (atMs[last] ?? -1) + 1));
    min.push(sample.value);
    max.push(sample.value);
  }
  return { atMs, min, max };
}
