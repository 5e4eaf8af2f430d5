import { needWithin, sayPercent } from '../quantity/check-input.ts';

/** Highest humidity at which blasting and painting go on, as a fraction (SSPC practice, seen in a secondary source). */
export const HUMIDITY_LIMIT = 0.85;

/** How far humidity is below the rule's limit, as a fraction; 85 % itself passes, below zero does not. */
export function humidityMargin(relativeHumidity: number, limit: number = HUMIDITY_LIMIT): number {
  needWithin('humidity', relativeHumidity, 0, 1, sayPercent);
  needWithin('limit', limit, 0, 1, sayPercent);
  return limit - relativeHumidity;
}
