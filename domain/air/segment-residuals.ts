import { needPositive } from '../quantity/check-input.ts';
import type { GaugePressure } from '../quantity/pressure.ts';
import type { SegmentPart, SegmentResidual } from './likely-cause.ts';
import type { ProfilePlace } from './line-profile.ts';

/** A place of the expected profile with what its gauge shows, zero matched, or null where there is no gauge. */
export interface GaugedPlace {
  readonly place: ProfilePlace;
  /** The part of the line that ends here. */
  readonly part: SegmentPart;
  readonly measured: GaugePressure | null;
}

/**
 * Losses from gauge to gauge beside the expected ones. The profile must be solved at the pressure the first gauge shows.
 * Where a place has no gauge its segment counts with the next one that has, under that one's name.
 * @throws RangeError for a gauge error that is not above 0.
 */
export function segmentResiduals(supply: GaugePressure, places: readonly GaugedPlace[], gaugeStandardError: number): SegmentResidual[] {
  needPositive('gauge error', gaugeStandardError, 'Pa');
  const residuals: SegmentResidual[] = [];
  let [from, expected, variance] = [supply as number, 0, 0];
  for (const { place, part, measured } of places) {
    expected += place.loss;
    variance += place.lossStandardError ** 2;
    if (measured === null) continue;
    residuals.push({ part, measured: from - measured, expected, standardError: Math.sqrt(variance + 2 * gaugeStandardError ** 2) });
    [from, expected, variance] = [measured, 0, 0];
  }
  return residuals;
}
