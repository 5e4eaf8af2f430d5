import { needNotNegative, needPositive } from '../quantity/check-input.ts';
import { type AbsolutePressure, type GaugePressure, gauge } from '../quantity/pressure.ts';
import { type Interval, propagate } from '../quantity/propagate.ts';
import { type Hose, hoseFlow, hoseLoading } from './hose-loss.ts';
import { nozzleBore, nozzleMassFlow } from './nozzle-flow.ts';

/** A worn nozzle is replaced at this much more bore, m: 1/16 in (common practice, no source). */
export const WEAR_LIMIT = 0.0254 / 16;

/** Pressures at one moment, blasting: at the blast machine and by needle gauge behind the nozzle. */
export interface PressurePair {
  readonly machine: GaugePressure;
  readonly nozzle: GaugePressure;
}

export interface BoreQuestion {
  readonly hose: Hose;
  readonly atmosphere: AbsolutePressure;
  readonly temperature?: number;
  /** Taken when the nozzle was plug-gauged. */
  readonly baseline: PressurePair & { readonly bore: number };
  readonly now: PressurePair;
  /** Of one reading after zero match, Pa. */
  readonly gaugeStandardError: number;
  /** How much the friction may have changed since the baseline (mix, lining), as a fraction. */
  readonly frictionDrift?: number;
}

export interface BoreChange {
  /** m, with its 95 % limits. */
  readonly bore: Interval;
  readonly change: Interval;
  /** `worn`: all of the interval beyond the limit. `may-be-worn`: some of it. */
  readonly wear: 'worn' | 'may-be-worn' | 'not-worn';
  /** False where the interval is wider than the wear limit: a plug gauge is the only judge. */
  readonly tellsWear: boolean;
}

/** Friction drift where none is given (practice, no source). */
const USUAL_DRIFT = 0.05;
/**
 * How far abrasive follows the air when a nozzle grows: 0 as the metering valve stands, 1 in proportion. Machines differ and nobody
 * measures it: anything between is taken as equally likely.
 */
const ABRASIVE_FOLLOWS_AIR = { value: 0.5, standardError: 0.29 };
/** The mix moves the flow by a few per cent and the flow the mix by as much: six steps are far beyond any gauge. */
const MIX_STEPS = 6;

/**
 * The nozzle's bore from the loss in the blast hose, as a change since a plug-gauged baseline: the baseline absorbs friction
 * and discharge coefficient, so that only the gauges and what changed since remain. Undefined where the gauges' errors
 * swallow the loss: then only a plug gauge can tell.
 * @throws RangeError for impossible input.
 */
export function boreChange(question: BoreQuestion): BoreChange | undefined {
  const { baseline, now, hose, gaugeStandardError } = question;
  needPositive('baseline bore', baseline.bore, 'm');
  needNotNegative('gauge error', gaugeStandardError, 'Pa');
  const around = { atmosphere: question.atmosphere, ...(question.temperature === undefined ? {} : { temperature: question.temperature }) };

  const boreFrom = (machine0 = 0, nozzle0 = 0, machine1 = 0, nozzle1 = 0, drift = 1, follows = 1): number | undefined => {
    if (!(nozzle0 > 0 && nozzle1 > 0 && machine1 > nozzle1 && drift > 0)) return undefined;
    const flow = nozzleMassFlow({ ...around, bore: baseline.bore, pressure: gauge(nozzle0) });
    const loading = hoseLoading(hose, { ...around, inlet: gauge(machine0) }, flow, machine0 - nozzle0);
    if (loading === undefined) return undefined;
    // As far as abrasive does not follow the air, what it adds to the friction is spread over more of it.
    let massFlow = flow;
    for (let step = 0; step < MIX_STEPS; step += 1) {
      const share = 1 + Math.max(0, loading - 1) * (flow / massFlow) ** (1 - follows) + Math.min(0, loading - 1);
      massFlow = hoseFlow({ ...hose, loading: share * drift }, { ...around, inlet: gauge(machine1) }, machine1 - nozzle1);
      if (!(massFlow > 0)) return undefined;
    }
    return nozzleBore({ ...around, massFlow, pressure: gauge(nozzle1) });
  };
  const reading = (value: number) => ({ value, standardError: gaugeStandardError });
  const bore = propagate(boreFrom, [
    reading(baseline.machine),
    reading(baseline.nozzle),
    reading(now.machine),
    reading(now.nozzle),
    { value: 1, standardError: question.frictionDrift ?? USUAL_DRIFT },
    ABRASIVE_FOLLOWS_AIR,
  ]);
  if (!bore) return undefined;
  const change = { value: bore.value - baseline.bore, low: bore.low - baseline.bore, high: bore.high - baseline.bore };
  const wear = change.low > WEAR_LIMIT ? 'worn' : change.high > WEAR_LIMIT ? 'may-be-worn' : 'not-worn';
  return { bore, change, wear, tellsWear: change.high - change.low < WEAR_LIMIT };
}
