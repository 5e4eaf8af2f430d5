import { needWithin, sayCelsius } from '../quantity/check-input.ts';
import { COLDEST, HOTTEST, dewPoint } from './humid-air.ts';

/**
 * How far the steel is above the dew point of the air, K (a difference; below zero the steel is wet). Judge the coldest steel.
 * Common rules want 3 °C, or 5 °F (2.78 °C): two rules, not one (ISO 8502-4:2017 and SSPC practice).
 * @throws RangeError for impossible temperatures or humidity.
 */
export function steelMargin(steel: number, temperature: number, relativeHumidity: number): number {
  needWithin('steel', steel, COLDEST, HOTTEST, sayCelsius);
  return steel - dewPoint(temperature, relativeHumidity).temperature;
}
