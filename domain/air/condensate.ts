import { humidityRatio, humidityRatioOf, saturationPressure } from '../climate/humid-air.ts';
import { needNotNegative } from '../quantity/check-input.ts';
import { type AbsolutePressure, type GaugePressure, toAbsolute } from '../quantity/pressure.ts';

/**
 * kg/m³ of dry air at 60 °F and 14.7 psia (0.0764 lb/ft³): the free air of the compressed-air moisture tables, 1.8 % denser
 * than the standard air of the nozzle charts. A volume flow given for water is taken as this one.
 */
export const MOISTURE_TABLE_AIR_DENSITY = (0.0764 * 0.45359237) / 0.3048 ** 3;
export const MOISTURE_TABLE_AIR = 'free air of the moisture tables, 0.0764 lb/ft³ (14.7 psia, 60 °F, dry)';

export interface Drying {
  /** Dry air, kg/s. */
  readonly airFlow: number;
  /** Of the air drawn in: K, fraction. */
  readonly temperature: number;
  readonly relativeHumidity: number;
  readonly atmosphere: AbsolutePressure;
  /** Where the air is cooled: aftercooler, separator, hose. */
  readonly line: GaugePressure;
  /** K */
  readonly cooledTo: number;
}

/** Water, kg/s of each. */
export interface WaterBalance {
  readonly drawnIn: number;
  /** Still vapour after cooling: the air leaves saturated unless it was too dry. */
  readonly held: number;
  /** What must be drained. */
  readonly separated: number;
}

/**
 * Water that falls out of compressed air as it is cooled, kg/s: what was drawn in less what saturated air holds at line
 * pressure. Within 1 % of the Compressed Air & Gas Institute tables. Cool in steps by calling it for each place.
 * @throws RangeError for impossible input.
 */
export function condensate(at: Drying): WaterBalance {
  needNotNegative('flow', at.airFlow, 'kg/s');
  const line = toAbsolute(at.line, at.atmosphere);
  const drawnIn = at.airFlow * humidityRatio(at.temperature, at.relativeHumidity, at.atmosphere);
  const saturated = saturationPressure(at.cooledTo);
  // Hotter than boiling at line pressure nothing condenses.
  const held = saturated >= line ? drawnIn : Math.min(drawnIn, at.airFlow * humidityRatioOf(saturated, line));
  return { drawnIn, held, separated: drawnIn - held };
}
