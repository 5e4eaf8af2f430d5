import { needNotNegative } from '../quantity/check-input.ts';

/** Ratio of specific heats of air. */
export const HEAT_RATIO = 1.4;
/** Gas constant of air, J/(kg·K). */
export const AIR_GAS_CONSTANT = 287.05;
/** 20 °C (68 °F), K: the temperature taken where none is given. */
export const USUAL_TEMPERATURE = 293.15;

/** kg/m³ of standard air, 0.075 lb/ft³ (1.2014 kg/m³; 14.7 psia, 68 °F): the `scfm` of the blasting charts. */
export const STANDARD_AIR_DENSITY = (0.075 * 0.45359237) / 0.3048 ** 3;
export const STANDARD_AIR = 'standard air, 0.075 lb/ft³ (14.7 psia, 68 °F)';

/** Standard volume flow, m³/s, of a mass flow, kg/s. */
export function standardVolumeFlow(massFlow: number): number {
  needNotNegative('flow', massFlow, 'kg/s');
  return massFlow / STANDARD_AIR_DENSITY;
}

/** Mass flow, kg/s, of a standard volume flow, m³/s. */
export function massFlowOf(standardFlow: number): number {
  needNotNegative('flow', standardFlow, 'm³/s');
  return standardFlow * STANDARD_AIR_DENSITY;
}
