/** A venturi blast nozzle. */
export interface NozzleBuild {
  /** m, new */
  readonly bore: number;
  /** Discharge coefficient of this nozzle: no two are alike. */
  readonly dischargeCoefficient: number;
  /** Growth of the bore per kilogram of abrasive passed, m/kg. */
  readonly wearPerKg: number;
}

/** Bore after wear, m. */
export function wornBore(build: NozzleBuild, abrasivePassedKg: number, addedMm: number): number {
  return build.bore + build.wearPerKg * abrasivePassedKg + addedMm / 1000;
}

/** Critical ratio of absolute pressures: a venturi's outlet recovers pressure, so it stays choked longer than a plain hole. */
export const NOZZLE_CRITICAL_RATIO = 0.68;

/**
 * Effective area, m², while abrasive passes at `loading` kilograms a kilogram of air: grains take up room and speed, so
 * a loaded nozzle draws less air.
 */
export function nozzleArea(build: NozzleBuild, bore: number, loading: number): number {
  return ((Math.PI / 4) * bore ** 2 * build.dischargeCoefficient) / (1 + 0.06 * loading);
}
