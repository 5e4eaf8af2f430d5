/** How soon and how late a next attempt comes, ms. */
export interface Pace {
  readonly firstMs: number;
  readonly longestMs: number;
}

/**
 * Pause before attempt `failures` + 1, ms: exponential with full jitter, so that those cut off together do not all come back
 * together. `uniform` is drawn from [0, 1).
 */
export function backOffMs(failures: number, uniform: number, { firstMs, longestMs }: Pace): number {
  return Math.round(Math.min(longestMs, firstMs * 2 ** Math.min(failures, 16)) * uniform);
}
