import { needUnit } from '../../domain/quantity/unit.ts';

/** Specific gas constant of dry air, J/(kg·K). */
export const GAS_CONSTANT = 287.05;
/** Density that free-air figures of hose losses refer to, kg/m³ (20 °C, 1 bar). */
export const FREE_AIR_DENSITY = 1.2;
/** 0 °C in K. */
export const ZERO_CELSIUS = 273.15;
/** One psi in Pa. */
export const PSI = needUnit('[psi]', 'pressure').factor;
/** One cubic foot a minute in m³/s. */
export const CFM = needUnit('[cft_i]/min', 'volume-flow').factor;

/** Moves `value` towards `target` as a first-order lag does in `dt` seconds with time constant `tau`, s. */
export function approach(value: number, target: number, dt: number, tau: number): number {
  return value + (target - value) * (1 - Math.exp(-dt / tau));
}

export function clamp(value: number, low: number, high: number): number {
  return value < low ? low : value > high ? high : value;
}
