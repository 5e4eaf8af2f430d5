import { productionFactor } from '../../air/production.ts';
import { pointToSi } from '../../points/point-unit.ts';
import { gauge } from '../../quantity/pressure.ts';
import type { Figure } from '../headline.ts';
import { type Series, type Stretch, held, overlapMs } from './series.ts';

/** Nozzle pressure while blasting, each value weighed with the time it held. */
export interface NozzlePressure {
  readonly lowest: Figure;
  readonly p5: Figure;
  readonly median: Figure;
  readonly mean: Figure;
  readonly p95: Figure;
  readonly highest: Figure;
  /** Shares of the time under flow, in steps of 5 psi; `from` is in it. */
  readonly distribution: readonly { readonly from: number; readonly to: number; readonly share: number }[];
  readonly wanted: { readonly low: number; readonly high: number; readonly inBand: number; readonly below: number; readonly above: number } | null;
  /** Share of production lost against `reference`, by the trade's rule of 1.5 % per psi; 0 to 1. */
  readonly lostProduction: number;
  readonly reference: Figure;
  readonly measured: Figure;
}

const STEP_PSI = 5;
/** Where the site says no wanted pressure, psi: what the rule of thumb is told for. */
const USUAL_REFERENCE = 100;
const psi = (value: number): Figure => ({ value, unit: '[psi]' });

/** Undefined where no nozzle pressure was recorded under flow. The loss is told against the low end of what is wanted, or 100 psi. */
export function nozzlePressureOf(nozzle: Series, bursts: readonly Stretch[], wanted: { readonly low: number; readonly high: number } | null): NozzlePressure | undefined {
  const weights = new Map<number, number>();
  let next = 0;
  for (const span of bursts.length === 0 ? [] : held(nozzle, { fromMs: bursts[0]?.fromMs ?? 0, toMs: bursts.at(-1)?.toMs ?? 0 })) {
    if (span.value === null) continue;
    while (next < bursts.length && (bursts[next]?.toMs ?? 0) <= span.fromMs) next += 1;
    for (let index = next; index < bursts.length; index += 1) {
      const burst = bursts[index];
      if (!burst || burst.fromMs >= span.toMs) break;
      weights.set(span.value, (weights.get(span.value) ?? 0) + overlapMs(span, burst));
    }
  }
  const values = [...weights].filter(([, ms]) => ms > 0).sort(([a], [b]) => a - b);
  const totalMs = values.reduce((sum, [, ms]) => sum + ms, 0);
  if (totalMs === 0) return undefined;
  const quantile = (share: number): Figure => psi(quantileOf(values, totalMs * share));
  const shareOf = (holds: (value: number) => boolean): number => values.reduce((sum, [value, ms]) => sum + (holds(value) ? ms : 0), 0) / totalMs;
  const reference = wanted?.low ?? USUAL_REFERENCE;
  const made = values.reduce((sum, [value, ms]) => sum + ms * Math.min(1, productionFactor(gauge(pointToSi('nozzle-pressure', Math.max(0, value))), gauge(pointToSi('nozzle-pressure', reference)))), 0) / totalMs;
  return {
    lowest: psi(values[0]?.[0] ?? 0),
    p5: quantile(0.05),
    median: quantile(0.5),
    mean: psi(Math.round((values.reduce((sum, [value, ms]) => sum + value * ms, 0) / totalMs) * 10) / 10),
    p95: quantile(0.95),
    highest: psi(values.at(-1)?.[0] ?? 0),
    distribution: distributionOf(values, totalMs),
    wanted: wanted && { ...wanted, inBand: shareOf((value) => value >= wanted.low && value <= wanted.high), below: shareOf((value) => value < wanted.low), above: shareOf((value) => value > wanted.high) },
    lostProduction: 1 - made,
    reference: psi(reference),
    measured: { value: totalMs / 3_600_000, unit: 'h' },
  };
}

function quantileOf(values: readonly (readonly [number, number])[], atMs: number): number {
  let sum = 0;
  for (const [value, ms] of values) {
    sum += ms;
    if (sum >= atMs) return value;
  }
  return values.at(-1)?.[0] ?? 0;
}

function distributionOf(values: readonly (readonly [number, number])[], totalMs: number): { from: number; to: number; share: number }[] {
  const steps = new Map<number, number>();
  for (const [value, ms] of values) {
    const from = Math.floor(value / STEP_PSI) * STEP_PSI;
    steps.set(from, (steps.get(from) ?? 0) + ms);
  }
  return [...steps].sort(([a], [b]) => a - b).map(([from, ms]) => ({ from, to: from + STEP_PSI, share: ms / totalMs }));
}
