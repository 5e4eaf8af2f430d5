import type { RecordedSeries, RecordedTrace } from '../../api/shifts.ts';
import type { Stretch } from '../trace/stretch.ts';

/** A shift's own stretch for one that counts from its start; null where the shift was over by then. */
export function ownStretch(elapsed: Stretch, startMs: number, endMs: number): Stretch | null {
  const fromMs = startMs + elapsed.fromMs;
  const toMs = Math.min(endMs, startMs + elapsed.toMs);
  return toMs > fromMs ? { fromMs, toMs } : null;
}

/** A recorded series with its times counted from the shift's start. */
export function sinceStart(trace: RecordedTrace | null, id: string, startMs: number): RecordedSeries | undefined {
  const series = trace?.series.find((one) => one.id === id);
  return series && { ...series, atMs: series.atMs.map((ms) => ms - startMs) };
}
