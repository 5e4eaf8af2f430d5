import { needWithin, sayCelsius } from '../quantity/check-input.ts';
import { COLDEST, HOTTEST, dewPoint, saturationPressure } from './humid-air.ts';

/**
 * Relative humidity right at the steel, as a fraction: the air's water against what saturates at the steel's temperature.
 * 1 where the steel is at or below the dew point: it is wet. Checked against published spreads (docs/computations.md).
 * @throws RangeError for impossible input.
 */
export function surfaceHumidity(steel: number, temperature: number, relativeHumidity: number): number {
  needWithin('steel', steel, COLDEST, HOTTEST, sayCelsius);
  const dew = dewPoint(temperature, relativeHumidity).temperature;
  return Math.min(1, saturationPressure(dew) / saturationPressure(steel));
}
