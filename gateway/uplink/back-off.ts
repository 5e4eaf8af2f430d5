const FIRST_MS = 100;
const LAST_MS = 30_000;

/** How long to wait after `failures` in a row: exponential with full jitter, `random` in [0, 1). */
export function backOffMs(failures: number, random: number): number {
  return Math.round(Math.min(LAST_MS, FIRST_MS * 2 ** Math.min(failures, 16)) * random);
}
