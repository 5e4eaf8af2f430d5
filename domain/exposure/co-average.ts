import { needNotNegative, needPositive } from '../quantity/check-input.ts';

/** Seconds in the eight hours of a working day: the divisor whatever the shift's length (29 CFR 1910.1000(d)(1)(i)). */
export const EIGHT_HOURS = 28_800;
export const FIFTEEN_MINUTES = 900;

/** A time at one concentration (fraction); null where nothing was measured. Seconds. */
export interface Exposure {
  readonly concentration: number | null;
  readonly duration: number;
}

export interface CoAverage {
  /** Gaps counted as the mean of what was measured: the estimate. */
  readonly average: number;
  /** Gaps counted as no exposure: it was at least this. */
  readonly atLeast: number;
  /** Gaps counted as the highest seen: it was hardly more than this. */
  readonly atMost: number;
  /** s */
  readonly measured: number;
  readonly gap: number;
}

/**
 * Time-weighted average concentration over a stated time, E = ΣCT / over. With `over` eight hours the divisor stays eight
 * hours for a shorter or longer shift. A gap is neither zero nor forgotten: three figures tell what it can do.
 * @throws RangeError for impossible input, or nothing measured at all.
 */
export function coAverage(exposures: readonly Exposure[], over: number = EIGHT_HOURS): CoAverage {
  needPositive('over', over, 's');
  let [dose, measured, gap, highest] = [0, 0, 0, 0];
  for (const { concentration, duration } of exposures) {
    needNotNegative('duration', duration, 's');
    if (concentration === null) {
      gap += duration;
      continue;
    }
    if (!(concentration >= 0 && concentration <= 1)) throw new RangeError(`concentration must lie between 0 and 1000000 ppm, found ${concentration * 1e6} ppm`);
    dose += concentration * duration;
    measured += duration;
    highest = Math.max(highest, concentration);
  }
  if (!(measured > 0)) throw new RangeError('samples: nothing was measured');
  return { average: (dose + (dose / measured) * gap) / over, atLeast: dose / over, atMost: (dose + highest * gap) / over, measured, gap };
}
