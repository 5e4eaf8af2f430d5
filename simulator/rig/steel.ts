import { approach } from './air.ts';

/** Steel to be blasted, as heavy plate outdoors. */
export interface SteelBuild {
  /** Time constant against the air, s. */
  readonly lag: number;
  /** Warming under full sun, K above the air; 0 in a shed. */
  readonly sunlit: number;
  /** Cooling to a clear night sky, K below the air. */
  readonly nightSky: number;
  /** Above the air at the start, K. */
  readonly startsAbove: number;
}

/** Temperature of the coldest steel, °C, `dt` seconds on. */
export function stepSteel(celsius: number, build: SteelBuild, air: { temperature: number; sun: number }, dt: number): number {
  const sky = air.sun > 0 ? build.sunlit * air.sun : -build.nightSky;
  return approach(celsius, air.temperature + sky, dt, build.lag);
}
