import { boreChange } from '../../domain/air/bore-change.ts';
import { atmosphereAt, gauge } from '../../domain/quantity/pressure.ts';
import { LineWatch } from './line-watch.ts';

/** One estimate of a bore beside the bore that really was, mm. */
export interface BoreEstimate {
  readonly truth: number;
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

const PSI = 6894.757293168361;
const HOSE = { bore: 0.03175, length: 30.48 };
/** Of a median over a minute and more of a matched 200 psi gauge. */
const GAUGE_SE = 0.1 * PSI;
const HALF_HOUR_S = 1800;

/**
 * Rig A's nozzle wears over eight hours; it was gauged by the plug in the first half hour. At a time drawn from the seed its bore is
 * estimated from pot and nozzle gauges: one estimate a seed, so that all are independent. Null where nobody blasted at that time.
 */
export function scoreBore(seed: number): BoreEstimate | null {
  const watch = new LineWatch({ scenario: 'worn-nozzle', seed, rigs: 1, beforeS: HALF_HOUR_S, afterS: 0 });
  const bore = (): number => watch.simulation.truth.supplies[0]?.rigs[0]?.bore ?? Number.NaN;
  watch.runTo(0);
  const plugged = bore();
  const first = watch.medians(-HALF_HOUR_S, 0);
  // One to seven hours later, each seed at a time of its own.
  const atS = 3600 * (1 + 6 * ((seed * 0.618_033_988_75) % 1));
  watch.runTo(atS);
  const now = watch.medians(atS - HALF_HOUR_S, atS);
  if (!first || !now) return null;
  const pair = ({ pot, nozzle }: { pot: number; nozzle: number }) => ({ machine: gauge(pot * PSI), nozzle: gauge(nozzle * PSI) });
  const found = boreChange({ hose: HOSE, atmosphere: atmosphereAt(40), baseline: { bore: plugged, ...pair(first) }, now: pair(now), gaugeStandardError: GAUGE_SE });
  if (!found) return null;
  // Of the half hour that was looked at the middle counts.
  const worn = plugged + ((bore() - plugged) * (atS - HALF_HOUR_S / 2 + HALF_HOUR_S)) / (atS + HALF_HOUR_S);
  return { truth: worn * 1000, value: found.bore.value * 1000, low: found.bore.low * 1000, high: found.bore.high * 1000 };
}
