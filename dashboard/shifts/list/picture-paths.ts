import type { RecordedSeries } from '../../api/shifts.ts';

export interface PictureScale {
  readonly fromMs: number;
  readonly toMs: number;
  readonly width: number;
  /** Upper edge and height of the stretch that `high` fills. */
  readonly top: number;
  readonly height: number;
  readonly high: number;
}

/** The band from lowest to highest of a series as one outline per unbroken stretch; a gap stays open. */
export function bandPath(series: RecordedSeries | undefined, scale: PictureScale): string {
  if (!series) return '';
  const x = (ms: number): string => (((ms - scale.fromMs) / Math.max(1, scale.toMs - scale.fromMs)) * scale.width).toFixed(1);
  const y = (value: number): string => (scale.top + scale.height * (1 - Math.min(1, Math.max(0, value / scale.high)))).toFixed(1);
  const parts: string[] = [];
  let upper: string[] = [];
  let lower: string[] = [];
  const close = (): void => {
    if (upper.length > 0) parts.push(`M${[...upper, ...lower.toReversed()].join('L')}Z`);
    upper = [];
    lower = [];
  };
  series.atMs.forEach((atMs, index) => {
    const low = series.min[index] ?? null;
    const high = series.max[index] ?? null;
    if (low === null || high === null) return close();
    upper.push(`${x(atMs)} ${y(high)}`);
    lower.push(`${x(atMs)} ${y(low)}`);
  });
  close();
  return parts.join('');
}
