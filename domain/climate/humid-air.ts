import { needPositive, needWithin, sayCelsius, sayPercent } from '../quantity/check-input.ts';
import { findRoot } from '../quantity/find-root.ts';
import type { AbsolutePressure } from '../quantity/pressure.ts';

/**
 * Humid air as an ideal mixture, after ASHRAE Fundamentals (2017) ch. 1. K, Pa, fractions; good from −100 °C to 200 °C.
 * Saturation is over ice below 0 °C and over water above it, and so is relative humidity (ASHRAE's convention; some
 * weather sensors refer to water below 0 °C as well). The real-gas enhancement factor (about 1.004) is left out.
 */
const FREEZING = 273.15;
export const COLDEST = 173.15;
export const HOTTEST = 473.15;
/** Mass of a mole of water over that of dry air. */
const MOLE_RATIO = 0.621945;
/** Gas constant of dry air, J/(kg·K). */
export const DRY_AIR_GAS_CONSTANT = 287.042;

/** A dew point tells what would form: dew, or frost below 0 °C. K. */
export interface DewPoint {
  readonly temperature: number;
  readonly phase: 'dew' | 'frost';
}

function lnOverIce(t: number): number {
  return -5674.5359 / t + 6.3925247 - 9.677843e-3 * t + 6.2215701e-7 * t ** 2 + 2.0747825e-9 * t ** 3 - 9.484024e-13 * t ** 4 + 4.1635019 * Math.log(t);
}

function lnOverWater(t: number): number {
  return -5800.2206 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t ** 2 - 1.4452093e-8 * t ** 3 + 6.5459673 * Math.log(t);
}

function slopeOverIce(t: number): number {
  return 5674.5359 / t ** 2 - 9.677843e-3 + 2 * 6.2215701e-7 * t + 3 * 2.0747825e-9 * t ** 2 - 4 * 9.484024e-13 * t ** 3 + 4.1635019 / t;
}

function slopeOverWater(t: number): number {
  return 5800.2206 / t ** 2 - 4.8640239e-2 + 2 * 4.1764768e-5 * t - 3 * 1.4452093e-8 * t ** 2 + 6.5459673 / t;
}

function needTemperature(name: string, temperature: number): void {
  needWithin(name, temperature, COLDEST, HOTTEST, sayCelsius);
}

function needHumidity(relativeHumidity: number): void {
  needWithin('humidity', relativeHumidity, 0, 1, sayPercent);
}

/**
 * Vapour pressure of saturated air, Pa, over ice below 0 °C and over water from there (Hyland and Wexler 1983, as ASHRAE
 * Fundamentals 2017 ch. 1 eq. 5 and 6; within 300 ppm of its table 3).
 * @throws RangeError outside −100 °C to 200 °C.
 */
export function saturationPressure(temperature: number): number {
  needTemperature('temperature', temperature);
  return Math.exp(temperature < FREEZING ? lnOverIce(temperature) : lnOverWater(temperature));
}

/** Pa over water even where it would freeze: what a chilled mirror covered with supercooled droplets shows. */
export function supercooledSaturationPressure(temperature: number): number {
  needTemperature('temperature', temperature);
  return Math.exp(lnOverWater(temperature));
}

/**
 * The temperature at which a vapour pressure saturates, K, with what forms there. Inverts `saturationPressure` to 1e-9 K.
 * @throws RangeError where that lies outside −100 °C to 200 °C; perfectly dry air has no dew point.
 */
export function dewPointOf(vapourPressure: number): DewPoint {
  needPositive('vapour pressure', vapourPressure, 'Pa');
  const wanted = Math.log(vapourPressure);
  if (wanted < lnOverIce(COLDEST) || wanted > lnOverWater(HOTTEST)) {
    throw new RangeError(`vapour pressure ${vapourPressure} Pa has no dew point between ${sayCelsius(COLDEST)} and ${sayCelsius(HOTTEST)}`);
  }
  if (wanted >= lnOverWater(FREEZING)) return { temperature: invertOverWater(wanted, FREEZING), phase: 'dew' };
  // The two formulas miss each other by 0.01 % at 0 °C: what falls between them is 0 °C.
  if (wanted >= lnOverIce(FREEZING)) return { temperature: FREEZING, phase: 'frost' };
  return { temperature: invert(lnOverIce, slopeOverIce, wanted, COLDEST, FREEZING), phase: 'frost' };
}

/** Dew point over water also below 0 °C, K; for comparison with tables that ignore frost. */
export function supercooledDewPointOf(vapourPressure: number): number {
  needPositive('vapour pressure', vapourPressure, 'Pa');
  const wanted = Math.log(vapourPressure);
  needWithin('vapour pressure', vapourPressure, Math.exp(lnOverWater(COLDEST)), Math.exp(lnOverWater(HOTTEST)));
  return invertOverWater(wanted, COLDEST);
}

function invertOverWater(wanted: number, coldest: number): number {
  return invert(lnOverWater, slopeOverWater, wanted, coldest, HOTTEST);
}

/** Newton's steps: both curves rise and bend one way, so that from the second step on they close in from below. */
function invert(ln: (t: number) => number, slope: (t: number) => number, wanted: number, low: number, high: number): number {
  // Magnus, turned round, lands within a degree or two.
  const x = (wanted - Math.log(611.2)) / 17.62;
  let t = Math.min(high, Math.max(low, FREEZING + (243.12 * x) / (1 - x)));
  for (let step = 0; step < 20; step++) {
    const next = Math.min(high, Math.max(low, t - (ln(t) - wanted) / slope(t)));
    if (Math.abs(next - t) < 1e-10) return next;
    t = next;
  }
  return t;
}

/**
 * Dew or frost point of air, K, from its temperature (K) and relative humidity (fraction).
 * @throws RangeError for humidity outside (0, 1], or so low that the dew point falls below −100 °C.
 */
export function dewPoint(temperature: number, relativeHumidity: number): DewPoint {
  const pressure = vapourPressure(temperature, relativeHumidity);
  if (!(pressure > Math.exp(lnOverIce(COLDEST)))) {
    throw new RangeError(`humidity ${sayPercent(relativeHumidity)} at ${sayCelsius(temperature)} is too dry to have a dew point above ${sayCelsius(COLDEST)}`);
  }
  // Rounding must not put the dew point of saturated air a hair above its temperature.
  const found = dewPointOf(pressure);
  return found.temperature <= temperature ? found : { temperature, phase: found.phase };
}

/** Partial pressure of water in air, Pa. @throws RangeError for impossible temperature or humidity. */
export function vapourPressure(temperature: number, relativeHumidity: number): number {
  needHumidity(relativeHumidity);
  return relativeHumidity * saturationPressure(temperature);
}

/** Water per dry air, kg/kg, from the partial pressure of water. @throws RangeError when the water alone exceeds the pressure. */
export function humidityRatioOf(waterPressure: number, pressure: AbsolutePressure): number {
  if (!(waterPressure >= 0 && waterPressure < pressure)) {
    throw new RangeError(`vapour pressure ${waterPressure} Pa must lie between 0 and the air's pressure, ${pressure} Pa`);
  }
  return (MOLE_RATIO * waterPressure) / (pressure - waterPressure);
}

/** Water per dry air, kg/kg (ASHRAE Fundamentals 2017 ch. 1 eq. 20; within 0.5 % of its table 2, 1 % near the ends). */
export function humidityRatio(temperature: number, relativeHumidity: number, atmosphere: AbsolutePressure): number {
  return humidityRatioOf(vapourPressure(temperature, relativeHumidity), atmosphere);
}

/**
 * Water per dry air from wet and dry bulb, kg/kg (ASHRAE Fundamentals 2017 ch. 1 eq. 33 above freezing, 35 with ice on the wick).
 * @throws RangeError when the wet bulb is above the dry one, or lower than dry air could bring it.
 */
export function humidityRatioFromWetBulb(temperature: number, wet: number, atmosphere: AbsolutePressure): number {
  needTemperature('temperature', temperature);
  needWithin('wet bulb', wet, COLDEST, temperature, sayCelsius);
  const ratio = wetWickRatio(temperature, wet, atmosphere, wet < FREEZING);
  if (!(ratio >= 0)) throw new RangeError(`wet bulb ${sayCelsius(wet)} is too low for air at ${sayCelsius(temperature)}`);
  return ratio;
}

function wetWickRatio(temperature: number, wet: number, atmosphere: AbsolutePressure, frozen: boolean): number {
  const saturated = saturationPressure(wet);
  if (saturated >= atmosphere) return Infinity;
  const [dry, w] = [temperature - FREEZING, wet - FREEZING];
  const full = humidityRatioOf(saturated, atmosphere);
  return frozen
    ? ((2830 - 0.24 * w) * full - 1.006 * (dry - w)) / (2830 + 1.86 * dry - 2.1 * w)
    : ((2501 - 2.326 * w) * full - 1.006 * (dry - w)) / (2501 + 1.86 * dry - 4.186 * w);
}

/**
 * Thermodynamic wet bulb, K. Just under 0 °C both a wet and an iced wick can balance: the wet one is answered.
 * @throws RangeError for impossible temperature or humidity, or air that would be steam.
 */
export function wetBulb(temperature: number, relativeHumidity: number, atmosphere: AbsolutePressure): number {
  const wanted = humidityRatio(temperature, relativeHumidity, atmosphere);
  if (relativeHumidity === 1) return temperature;
  const excess = (wet: number, frozen: boolean): number => wetWickRatio(temperature, wet, atmosphere, frozen) - wanted;
  const frozen = temperature < FREEZING || excess(FREEZING, false) > 0;
  const [low, high] = frozen ? [COLDEST, Math.min(temperature, FREEZING)] : [FREEZING, temperature];
  // Saturated air at the top of the bracket is as moist as asked within rounding: then the wick is as warm as the air.
  return excess(high, frozen) <= 0 ? high : findRoot((wet) => excess(wet, frozen), low, high, 1e-9);
}

/** Density of humid air, kg/m³: dry air and water together (ASHRAE Fundamentals 2017 ch. 1 eq. 11 and 26). */
export function density(temperature: number, ratio: number, pressure: AbsolutePressure): number {
  needTemperature('temperature', temperature);
  needWithin('humidity ratio', ratio, 0, 10);
  return ((1 + ratio) * pressure) / (DRY_AIR_GAS_CONSTANT * temperature * (1 + ratio / MOLE_RATIO));
}
