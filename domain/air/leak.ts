import { needNotNegative, needPositive, needWithin, sayCelsius } from '../quantity/check-input.ts';
import { type GaugePressure } from '../quantity/pressure.ts';
import { type Interval, propagate } from '../quantity/propagate.ts';
import { AIR_GAS_CONSTANT, USUAL_TEMPERATURE } from './standard-air.ts';

/** A hold test of the supply side: shut in, watched, nothing drawn. */
export interface HoldTest {
  /** What holds the air, m³. */
  readonly volume: number;
  readonly from: GaugePressure;
  readonly to: GaugePressure;
  /** s */
  readonly time: number;
  /** K; 20 °C unless given. */
  readonly temperature?: number;
  /** Of one pressure reading, Pa. Its zero cancels: the same gauge reads twice. */
  readonly gaugeStandardError?: number;
  /** Of the volume, as a fraction: hose swells, fittings are guessed. */
  readonly volumeStandardError?: number;
  /** Of how much the air's temperature changed meanwhile, K: 1 K at 100 psi is 0.4 psi. */
  readonly temperatureChangeStandardError?: number;
}

/**
 * Leak, kg/s, from the fall of pressure in a known volume at one temperature: V·Δp / (R·T·t). Below zero when the pressure
 * rose: a valve isn't shut, or the air warmed. 1 psi/s in 1 ft³ is 4 scfm.
 * @throws RangeError for impossible input.
 */
export function leak(test: HoldTest): Interval {
  const { volume, from, to, time, temperature = USUAL_TEMPERATURE } = test;
  needPositive('volume', volume, 'm³');
  needPositive('time', time, 's');
  needWithin('temperature', temperature, 173.15, 473.15, sayCelsius);
  const error = test.gaugeStandardError ?? 0;
  needNotNegative('gauge error', error, 'Pa');
  const warming = test.temperatureChangeStandardError ?? 0;
  const flow = (p1 = 0, p2 = 0, size = 0, warmer = 0): number => (size * (p1 - p2 + (101325 + from) * (warmer / temperature))) / (AIR_GAS_CONSTANT * temperature * time);
  const found = propagate(flow, [
    { value: from, standardError: error },
    { value: to, standardError: error },
    { value: volume, standardError: volume * (test.volumeStandardError ?? 0) },
    { value: 0, standardError: warming },
  ]);
  if (!found) throw new RangeError('pressures must be finite');
  return found;
}

/**
 * How long to hold, s, so that a leak worth finding (kg/s) stands out from the gauge's error at 95 %.
 * @throws RangeError for impossible input.
 */
export function holdTime(at: { readonly volume: number; readonly leak: number; readonly gaugeStandardError: number; readonly temperature?: number }): number {
  needPositive('volume', at.volume, 'm³');
  needPositive('leak', at.leak, 'kg/s');
  needPositive('gauge error', at.gaugeStandardError, 'Pa');
  const fall = 1.96 * Math.SQRT2 * at.gaugeStandardError;
  return (at.volume * fall) / (AIR_GAS_CONSTANT * (at.temperature ?? USUAL_TEMPERATURE) * at.leak);
}
