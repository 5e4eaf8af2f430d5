import { type DewPoint, dewPointOf, saturationPressure } from '../climate/humid-air.ts';
import { type AbsolutePressure, type GaugePressure, toAbsolute } from '../quantity/pressure.ts';

/**
 * Dew point of line air once it is let down to the atmosphere, K. The 10 °F rule for breathing air is on *this* one
 * (29 CFR 1910.134(i)(5)(ii)); water and ice in the hose follow the *pressure* dew point. Dalton's law, ideal gas: the share
 * of water stays, its partial pressure falls with the total.
 * @throws RangeError for a line below vacuum or a dew point outside −100 °C to 200 °C.
 */
export function atmosphericDewPoint(pressureDewPoint: number, line: GaugePressure, atmosphere: AbsolutePressure): DewPoint {
  return dewPointOf(saturationPressure(pressureDewPoint) * (atmosphere / toAbsolute(line, atmosphere)));
}

/** Dew point in the line of air whose dew point at the atmosphere is known, K: the way back. */
export function pressureDewPoint(atmosphericDewPoint: number, line: GaugePressure, atmosphere: AbsolutePressure): DewPoint {
  return dewPointOf(saturationPressure(atmosphericDewPoint) * (toAbsolute(line, atmosphere) / atmosphere));
}
