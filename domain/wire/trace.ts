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
  /** True where something in it came late: recorded, and never judged live. */
  readonly late: readonly boolean[];
  /** Stretches that were erased when their time to be kept was over. */
  readonly erased: readonly ErasedStretch[];
}

/** What is no longer there stays visible as erased. */
export interface ErasedStretch {
  readonly fromMs: number;
  readonly toMs: number;
  readonly atMs: number;
  readonly by: string;
}
