/** Longest pause between attempts, ms: a site's devices are wanted back soon after the broker is. */
const LONGEST_MS = 15_000;
const FIRST_MS = 250;

/**
 * Pause before attempt `failures` + 1, ms: exponential with full jitter, so that devices cut off together do not all come
 * back together. `uniform` is drawn from [0, 1).
 */
export function backOffMs(failures: number, uniform: number): number {
  return uniform * Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(failures, 16));
}
