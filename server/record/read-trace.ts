import { setImmediate as pause } from 'node:timers/promises';
import type { Trace, TraceSeries } from '../../domain/wire/trace.ts';
import { Downsampler } from './downsample.ts';
import type { Store } from './store.ts';

export interface TracePoint {
  readonly owner: string;
  readonly id: string;
  readonly unit: string;
  readonly gapMs: number;
}

/** Decoded at a stretch; then the fold has its turn, so that a long trace delays no alarm. */
const SLICE_MS = 4;

/** History of some points as it is drawn on `width` pixels. */
export async function readTrace(store: Store, site: string, points: readonly TracePoint[], { fromMs, toMs, width }: { readonly fromMs: number; readonly toMs: number; readonly width: number }): Promise<Trace> {
  const series: TraceSeries[] = [];
  let since = performance.now();
  for (const { owner, id, unit, gapMs } of points) {
    const drawing = new Downsampler({ fromMs, toMs, width, gapMs });
    for await (const piece of store.pieces(site, owner, id, fromMs, toMs)) {
      drawing.add(piece);
      if (performance.now() - since < SLICE_MS) continue;
      await pause();
      since = performance.now();
    }
    series.push({ owner, id, unit, ...drawing.drawn(), erased: await store.retention.erased(site, owner, id, fromMs, toMs) });
  }
  return { fromMs, toMs, series };
}
