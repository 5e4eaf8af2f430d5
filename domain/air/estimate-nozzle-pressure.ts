import { needNotNegative, needPositive } from '../quantity/check-input.ts';
import { type AbsolutePressure, type GaugePressure, gauge } from '../quantity/pressure.ts';
import { type Interval, propagate } from '../quantity/propagate.ts';
import { abrasiveLoading } from './abrasive-loading.ts';
import type { PressurePair } from './bore-change.ts';
import { type Hose, hoseLoading } from './hose-loss.ts';
import { blastLine, solveLine } from './line.ts';
import { NOZZLE_COEFFICIENT, nozzleMassFlow } from './nozzle-flow.ts';

export interface NozzlePressureQuestion {
  readonly machine: GaugePressure;
  readonly atmosphere: AbsolutePressure;
  readonly temperature?: number;
  readonly hose: Hose;
  readonly nozzle: { readonly bore: number };
  /** The last needle reading, with the machine pressure at that moment. */
  readonly needle?: PressurePair;
  /** Of the machine gauge, Pa. */
  readonly gaugeStandardError: number;
  /** Of the needle gauge, Pa. */
  readonly needleStandardError?: number;
  /** How much friction may have changed since, as a fraction; grows as the needle reading ages. */
  readonly frictionDrift?: number;
}

/** What is unknown without any needle reading: loading ±40 % and coefficient ±10 % as 95 % limits (practice, no source). */
const UNKNOWN_FRICTION = 0.2;
const UNKNOWN_COEFFICIENT = 0.05;

/**
 * Nozzle pressure *computed* from the machine's, Pa gauge, between needle readings; say so where it is shown. The last needle
 * reading calibrates the hose; without one the general loading serves, and the interval is wide.
 * Undefined where that reading can't be used, or the interval would leave what is possible.
 * @throws RangeError for impossible input.
 */
export function estimateNozzlePressure(question: NozzlePressureQuestion): Interval | undefined {
  const { machine, hose, nozzle, needle, gaugeStandardError } = question;
  needPositive('bore', nozzle.bore, 'm');
  needNotNegative('gauge error', gaugeStandardError, 'Pa');
  const around = { atmosphere: question.atmosphere, ...(question.temperature === undefined ? {} : { temperature: question.temperature }) };
  if (machine <= 0) return { value: machine, low: machine - 1.96 * gaugeStandardError, high: machine + 1.96 * gaugeStandardError };

  const solve = (supply: number, loading: number, coefficient: number): number | undefined => {
    if (!(supply > 0 && loading > 0)) return undefined;
    const line = blastLine({ ...around, supply: gauge(supply), hose: { ...hose, loading }, nozzle: { bore: nozzle.bore, coefficient } });
    return solveLine(line).outlets[0]?.nozzlePressure;
  };
  const supply = { value: machine, standardError: gaugeStandardError };
  if (!needle) {
    const loading = hose.loading ?? abrasiveLoading();
    return propagate((at = 0, friction = 1, coefficient = 1) => solve(at, loading * friction, NOZZLE_COEFFICIENT * coefficient), [
      supply,
      { value: 1, standardError: UNKNOWN_FRICTION },
      { value: 1, standardError: UNKNOWN_COEFFICIENT },
    ]);
  }
  // One machine gauge reads both moments, so its error is one error, not two.
  const calibrated = (error = 0, nozzleThen = 0, drift = 1): number | undefined => {
    if (!(nozzleThen > 0)) return undefined;
    const machineThen = needle.machine + error;
    const flow = nozzleMassFlow({ ...around, bore: nozzle.bore, pressure: gauge(nozzleThen) });
    const loading = hoseLoading(hose, { ...around, inlet: gauge(machineThen) }, flow, machineThen - nozzleThen);
    return loading === undefined ? undefined : solve(machine + error, loading * drift, NOZZLE_COEFFICIENT);
  };
  return propagate(calibrated, [
    { value: 0, standardError: gaugeStandardError },
    { value: needle.nozzle, standardError: question.needleStandardError ?? gaugeStandardError },
    { value: 1, standardError: question.frictionDrift ?? 0.05 },
  ]);
}
