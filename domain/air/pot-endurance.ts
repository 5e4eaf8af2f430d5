import { needNotNegative, needPositive } from '../quantity/check-input.ts';
import { USUAL_ABRASIVE_RATIO } from './abrasive-loading.ts';

/** A range: the truth is thought to lie within. */
export interface Range {
  readonly low: number;
  readonly high: number;
}

/** How far a metering valve's mix is taken to differ from the charts' (practice, no source). */
const RATE_SPREAD = 0.3;

/** Abrasive used, kg/s, as a range, from the nozzle's air (kg/s) by the charts' ratio. */
export function abrasiveRate(airFlow: number): Range {
  needNotNegative('air flow', airFlow, 'kg/s');
  const middle = airFlow * USUAL_ABRASIVE_RATIO;
  return { low: middle * (1 - RATE_SPREAD), high: middle * (1 + RATE_SPREAD) };
}

/**
 * Seconds of blasting until the pot is empty, as a range, from what was filled (kg), the rate (kg/s) and the seconds blasted
 * since. Zero where it may already be empty.
 * @throws RangeError for impossible input.
 */
export function timeToEmptyPot(filled: number, rate: Range, blasted: number): Range {
  needNotNegative('filled', filled, 'kg');
  needPositive('abrasive rate', rate.low, 'kg/s');
  if (!(rate.high >= rate.low)) throw new RangeError('abrasive rate: the high end must not lie below the low end');
  needNotNegative('time blasted', blasted, 's');
  return { low: Math.max(0, filled / rate.high - blasted), high: Math.max(0, filled / rate.low - blasted) };
}
