import { clamp } from './air.ts';

/** Antoine's equation for water, 1 to 100 °C (log₁₀ of mmHg, °C), used a little below: a law of its own, on purpose. */
const A = 8.07131;
const B = 1730.63;
const C = 233.426;
const MMHG = 133.322;

/** Saturation vapour pressure over water, Pa, at °C. */
export function saturationPressure(celsius: number): number {
  return MMHG * 10 ** (A - B / (C + celsius));
}

/** Temperature, °C, at which vapour of this pressure, Pa, is saturated. */
export function dewPoint(vapourPressure: number): number {
  return B / (A - Math.log10(Math.max(vapourPressure, 1) / MMHG)) - C;
}

/** Water carried by a kilogram of dry air at a vapour pressure and a total pressure, both Pa. */
export function moistureRatio(vapourPressure: number, pressure: number): number {
  return (0.622 * vapourPressure) / Math.max(pressure - vapourPressure, 1);
}

/** Vapour pressure, Pa, of air at `pressure` that carries `ratio` kg of water a kg. */
export function vapourPressureOf(ratio: number, pressure: number): number {
  return (ratio * pressure) / (0.622 + ratio);
}

/** Relative humidity, %, of air at °C with a dew point at °C. */
export function relativeHumidity(celsius: number, dewPointCelsius: number): number {
  return clamp((100 * saturationPressure(dewPointCelsius)) / saturationPressure(celsius), 0, 100);
}
