/** A stretch of history drawn for a screen `width` pixels wide: for each pixel that has readings, their lowest and highest. */
export interface Trace {
  readonly fromMs: number;
  readonly toMs: number;
  readonly series: readonly TraceSeries[];
}

/**
 * Columns of one point, oldest first, strictly ascending in time. A null pair is a gap: the point was silent or not good there,
 * and a line must not be drawn across it.
 */
export interface TraceSeries {
  readonly owner: string;
  readonly id: string;
  readonly unit: string;
  readonly atMs: readonly number[];
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
}
