/** A number that isn't known exactly. */
export interface Uncertain {
  readonly value: number;
  readonly standardError: number;
}

/** An estimate with the limits within which the truth lies in 95 of 100 cases. */
export interface Interval {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** Standard errors from the middle to a 95 % limit. */
export const TO_95 = 1.96;

/**
 * Carries the errors of independent inputs through a function: each is moved to both its 95 % limits by itself, and the
 * shifts up and down add as squares, apart, so that a crooked function gives a crooked interval.
 * Undefined where the function can't be computed within those limits: then nothing honest can be said.
 */
export function propagate(f: (...inputs: number[]) => number | undefined, inputs: readonly Uncertain[]): Interval | undefined {
  const middle = inputs.map((one) => one.value);
  const value = f(...middle);
  if (value === undefined || !Number.isFinite(value)) return undefined;
  let [down, up] = [0, 0];
  for (const [at, { standardError }] of inputs.entries()) {
    if (standardError === 0) continue;
    const ends = [-TO_95, TO_95].map((z) => f(...middle.map((one, index) => (index === at ? one + z * standardError : one))));
    const shifts = ends.map((end) => (end === undefined ? NaN : end - value));
    if (shifts.some((shift) => !Number.isFinite(shift))) return undefined;
    down += Math.min(0, ...shifts) ** 2;
    up += Math.max(0, ...shifts) ** 2;
  }
  return { value, low: value - Math.sqrt(down), high: value + Math.sqrt(up) };
}
