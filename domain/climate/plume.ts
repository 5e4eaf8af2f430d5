const TURN = 2 * Math.PI;
/** Half the width of the plume that counts, and the wind below which its direction means nothing (common practice, no source). */
export const PLUME_HALF_WIDTH = Math.PI / 4;
export const CALM = 1.5;

/** Angle between two bearings, rad, 0 to π. */
export function angleBetween(one: number, other: number): number {
  if (!Number.isFinite(one) || !Number.isFinite(other)) throw new RangeError('bearing must be finite');
  const turned = (((one - other) % TURN) + TURN) % TURN;
  return Math.min(turned, TURN - turned);
}

export interface Plume {
  /** Between where the wind blows to and the intake, rad: 0 is straight into it. */
  readonly offAxis: number;
  /** `cant-say` in calm air. */
  readonly intake: 'in-plume' | 'clear' | 'cant-say';
}

/**
 * Whether the dust and exhaust from the blasting blow at the compressor's intake. Bearings in rad: the wind's *from*, the
 * intake's *seen from the blasting*. Speed in m/s where it is known; give 5-minute means.
 * @throws RangeError for bearings that aren't finite or a speed below 0.
 */
export function intakePlume(windFrom: number, intakeBearing: number, windSpeed?: number): Plume {
  if (windSpeed !== undefined && !(windSpeed >= 0)) throw new RangeError(`wind speed must not be below 0, found ${windSpeed} m/s`);
  const offAxis = angleBetween(windFrom + Math.PI, intakeBearing);
  if (windSpeed !== undefined && windSpeed <= CALM) return { offAxis, intake: 'cant-say' };
  // Bearings come in whole degrees: 45° itself is within, whatever rounding says.
  return { offAxis, intake: offAxis <= PLUME_HALF_WIDTH + 1e-9 ? 'in-plume' : 'clear' };
}
