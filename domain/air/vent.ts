import { needPositive } from '../quantity/check-input.ts';
import { type AbsolutePressure, type GaugePressure, gauge, toAbsolute } from '../quantity/pressure.ts';
import { nozzleMassFlow } from './nozzle-flow.ts';
import { HEAT_RATIO, USUAL_TEMPERATURE } from './standard-air.ts';

const STEPS = 400;

/**
 * How long a vessel takes to blow down through an opening, s. The air expands adiabatically, as it does in seconds; the truth
 * lies between this and `HEAT_RATIO` times as long (one temperature). Trapezoid over the logarithm of pressure, within 0.1 %.
 * @throws RangeError for impossible input.
 */
export function ventTime(at: {
  /** Air space, m³. */
  readonly volume: number;
  /** Of the opening, m. */
  readonly bore: number;
  readonly from: GaugePressure;
  readonly to: GaugePressure;
  readonly atmosphere: AbsolutePressure;
  readonly coefficient?: number;
}): number {
  needPositive('volume', at.volume, 'm³');
  needPositive('bore', at.bore, 'm');
  needPositive('end pressure', at.to, 'Pa');
  const [first, last] = [toAbsolute(at.from, at.atmosphere), toAbsolute(at.to, at.atmosphere)];
  if (!(last < first)) throw new RangeError('end pressure must lie below the start pressure');
  const { atmosphere, bore, coefficient = 0.8 } = at;
  const slowness = (pressure: number): number => {
    const temperature = USUAL_TEMPERATURE * (pressure / first) ** ((HEAT_RATIO - 1) / HEAT_RATIO);
    const flow = nozzleMassFlow({ bore, coefficient, atmosphere, temperature, pressure: gauge(pressure - atmosphere) });
    return (at.volume * pressure) / (HEAT_RATIO * 287.05 * temperature * flow);
  };
  const step = Math.log(first / last) / STEPS;
  let time = 0;
  for (let i = 0; i < STEPS; i++) time += (step * (slowness(last * Math.exp(i * step)) + slowness(last * Math.exp((i + 1) * step)))) / 2;
  return time;
}
