/**
 * Gauge and absolute pressure as types that do not mix. Both are Pa; only these functions turn one into the other.
 */
declare const reference: unique symbol;
export type GaugePressure = number & { readonly [reference]: 'gauge' };
export type AbsolutePressure = number & { readonly [reference]: 'absolute' };

/** Standard atmosphere, Pa (ISO 2533). */
export const STANDARD_ATMOSPHERE = 101325 as AbsolutePressure;

/** Marks Pa as gauge pressure. @throws RangeError unless finite. */
export function gauge(pascal: number): GaugePressure {
  if (!Number.isFinite(pascal)) throw new RangeError(`a gauge pressure must be finite, found ${pascal}`);
  return pascal as GaugePressure;
}

/** Marks Pa as absolute pressure. @throws RangeError unless finite and above vacuum. */
export function absolute(pascal: number): AbsolutePressure {
  if (!(pascal > 0) || !Number.isFinite(pascal)) throw new RangeError(`an absolute pressure must be above vacuum, found ${pascal} Pa`);
  return pascal as AbsolutePressure;
}

/** Absolute from gauge at the local atmosphere. @throws RangeError below vacuum. */
export function toAbsolute(pressure: GaugePressure, atmosphere: AbsolutePressure = STANDARD_ATMOSPHERE): AbsolutePressure {
  return absolute(pressure + atmosphere);
}

/** Gauge from absolute at the local atmosphere. */
export function toGauge(pressure: AbsolutePressure, atmosphere: AbsolutePressure = STANDARD_ATMOSPHERE): GaugePressure {
  return gauge(pressure - atmosphere);
}

/**
 * Atmosphere at an elevation in metres, the standard atmosphere's troposphere as in ASHRAE Fundamentals (2017) ch. 1 eq. 3,
 * good from −5,000 m to 11,000 m.
 * @throws RangeError outside that range.
 */
export function atmosphereAt(elevation: number): AbsolutePressure {
  if (!(elevation >= -5000 && elevation <= 11000)) throw new RangeError(`elevation must lie between -5000 m and 11000 m, found ${elevation} m`);
  return absolute(101325 * (1 - 2.25577e-5 * elevation) ** 5.2559);
}
