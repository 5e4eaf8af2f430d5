/** Where the compressor breathes, and what may reach it. */
export interface IntakeBuild {
  /** Bearing of the intake as seen from the engine exhausts, degrees: a wind from the opposite side carries them over. */
  readonly bearing: number;
  /** Carbon monoxide at the intake with the plume straight on it in a 2 m/s wind, ppm. */
  readonly plumePpm: number;
}

/** Half-width of the plume at the intake, degrees. */
const PLUME_HALF_WIDTH = 20;
/** Oil begins to break down in the air end above this, °C. */
const OIL_BREAKS_DOWN = 105;

/** Wind direction, degrees, that carries the exhaust into the intake. */
export function windOfThePlume(intake: IntakeBuild): number {
  return (intake.bearing + 180) % 360;
}

/** Smallest angle between two bearings, degrees. */
export function angleBetween(a: number, b: number): number {
  const difference = Math.abs(a - b) % 360;
  return difference > 180 ? 360 - difference : difference;
}

/**
 * Carbon monoxide in the air the compressor delivers, ppm: the background, the exhaust that the wind brings (a plume that
 * thins with the wind), and what an overheated air end makes of its own oil.
 */
export function intakeCarbonMonoxide(intake: IntakeBuild, wind: { from: number; speed: number }, backgroundPpm: number, airEnd: number): number {
  const off = angleBetween(wind.from, windOfThePlume(intake)) / PLUME_HALF_WIDTH;
  const plume = intake.plumePpm * Math.exp(-0.5 * off * off) * (2 / Math.max(wind.speed, 0.7));
  const oil = airEnd > OIL_BREAKS_DOWN ? 0.9 * (airEnd - OIL_BREAKS_DOWN) : 0;
  return backgroundPpm + plume + oil;
}
