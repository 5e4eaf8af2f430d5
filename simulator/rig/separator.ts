import { approach } from './air.ts';
import type { Hose } from './hose.ts';
import { dewPoint, moistureRatio, saturationPressure, vapourPressureOf } from './moist-air.ts';

/** Resistance of a clean separator, as the length of supply hose with the same loss, m. */
export const SEPARATOR_AS_HOSE = 9;

/** Water in a rig's line air, followed from the intake to the blast machine. */
export interface Moisture {
  /** Temperature after the separator, °C. */
  temperature: number;
  /** Pressure dew point after the separator, °C. */
  dewPoint: number;
  /** kg since the start; what came in is what dropped out plus what went on. */
  readonly water: { in: number; separated: number; out: number };
}

export function createMoisture(ambient: number): Moisture {
  return { temperature: ambient + 5, dewPoint: ambient + 5, water: { in: 0, separated: 0, out: 0 } };
}

interface LineAir {
  readonly ambient: number;
  /** Vapour pressure of the ambient air, Pa. */
  readonly vapour: number;
  readonly atmosphere: number;
  /** Temperature after the aftercooler, °C. */
  readonly delivery: number;
  /** At the separator, Pa absolute. */
  readonly pressure: number;
  readonly flowKgPerS: number;
  /** Share of the water that should drop out and does not, 0 to 1. */
  readonly carryover: number;
  /** The rig's supply hose, which cools the air on its way. */
  readonly supply: Hose;
}

/**
 * Cools the air along the supply hose and drops the water it can no longer hold. Compressed nine times over, ambient air
 * is nearly always saturated there, so the temperature after a separator without a dryer is the pressure dew point.
 */
export function stepMoisture(moisture: Moisture, air: LineAir, dt: number): void {
  // The slower the air, the longer it lies in the hose: 10 g/s through 15 m gives up most of its heat.
  const cooling = Math.exp(-(air.supply.length * 0.0012) / Math.max(air.flowKgPerS, 0.004));
  moisture.temperature = approach(moisture.temperature, air.ambient + 1 + (air.delivery - air.ambient - 1) * cooling, dt, 45);
  const inRatio = moistureRatio(air.vapour, air.atmosphere);
  const canHold = moistureRatio(saturationPressure(moisture.temperature), air.pressure);
  const excess = Math.max(inRatio - canHold, 0);
  // A good separator lets a fine mist through; it is water all the same and evaporates downstream.
  const onward = inRatio - excess * (0.985 - 0.985 * air.carryover);
  const passed = Math.max(air.flowKgPerS, 0) * dt;
  moisture.water.in += inRatio * passed;
  moisture.water.out += onward * passed;
  moisture.water.separated += (inRatio - onward) * passed;
  // Mist is water, not vapour: no air is more than saturated.
  const vapour = dewPoint(vapourPressureOf(Math.min(onward, canHold), air.pressure));
  moisture.dewPoint = approach(moisture.dewPoint, vapour, dt, 20);
}
