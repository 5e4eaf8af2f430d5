import { needNotNegative, needPositive, needWithin, sayPercent } from '../quantity/check-input.ts';
import { findRoot } from '../quantity/find-root.ts';
import { type AbsolutePressure, STANDARD_ATMOSPHERE } from '../quantity/pressure.ts';

/** How hard someone works: lung diffusing capacity, mL/(min·mmHg), and alveolar ventilation, mL/min (NIOSH 72-11000, from memory). */
export const ACTIVITIES = {
  rest: { diffusion: 30, ventilation: 6000 },
  light: { diffusion: 40, ventilation: 18_000 },
  heavy: { diffusion: 60, ventilation: 30_000 },
} as const;
export type Activity = keyof typeof ACTIVITIES;

/** A person as assumed: an average adult, not anyone measured. */
export const ASSUMED = {
  /** mL */
  bloodVolume: 5500,
  /** mL of gas that haemoglobin binds per mL of blood: 1.38 mL/g × 15.8 g per 100 mL. */
  capacity: (1.38 * 15.8) / 100,
  /** mL/min of carbon monoxide that the body makes. */
  production: 0.007,
  /** How much more readily haemoglobin takes carbon monoxide than oxygen (Haldane). */
  affinity: 218,
  /** Share of haemoglobin taken before any exposure. */
  initial: 0.0075,
} as const;

const MMHG = 133.322;
/** Water vapour in the lungs at body temperature, mmHg. */
const LUNG_WATER = 47;
/** What oxygen loses between lung and capillary, mmHg. */
const OXYGEN_DROP = 49;
const OXYGEN = 0.2095;
/** Beyond 5 % the gas kills in minutes and the model means nothing. */
const HIGHEST = 0.05;

export interface CoUptake {
  /** Breathed, as a fraction of dry air. */
  readonly concentration: number;
  /** s */
  readonly time: number;
  readonly activity: Activity;
  /** Share of haemoglobin taken at the start. */
  readonly initial?: number;
  readonly atmosphere?: AbsolutePressure;
}

/** Rates of dC/dt = gain − loss·C/(capacity − C), mL per mL of blood and minute. */
function rates({ concentration, activity, atmosphere = STANDARD_ATMOSPHERE }: Omit<CoUptake, 'time' | 'initial'>): { gain: number; loss: number } {
  needWithin('concentration', concentration, 0, HIGHEST, (f) => `${f * 1e6} ppm`);
  const dry = atmosphere / MMHG - LUNG_WATER;
  const { diffusion, ventilation } = ACTIVITIES[activity];
  const inhaled = concentration * dry;
  const oxygen = OXYGEN * (dry - inhaled) - OXYGEN_DROP;
  needPositive('oxygen in the blood at this atmosphere', oxygen, 'mmHg');
  const hindrance = 1 / diffusion + dry / ventilation;
  const { bloodVolume, production, affinity } = ASSUMED;
  return { gain: (production + inhaled / hindrance) / bloodVolume, loss: oxygen / (affinity * bloodVolume * hindrance) };
}

/** Share of haemoglobin that would be taken in the end if the exposure went on. */
export function carboxyhaemoglobinAtRest(uptake: Omit<CoUptake, 'time' | 'initial'>): number {
  const { gain, loss } = rates(uptake);
  return gain / (gain + loss);
}

/**
 * Share of haemoglobin taken by carbon monoxide after some time, by the nonlinear Coburn–Forster–Kane equation (1965):
 * an *estimate* for an average adult, not a blood test. Inhaled partial pressure is of air moist from the lungs, and
 * the oxyhaemoglobin is what carbon monoxide leaves. Solved exactly for constant exposure, so the step's length does not
 * matter: call it again with the answer as `initial` for the next stretch, over all rigs a person breathed from.
 * @throws RangeError for impossible input.
 */
export function carboxyhaemoglobin(uptake: CoUptake): number {
  const { time, initial = ASSUMED.initial } = uptake;
  needNotNegative('time', time, 's');
  needWithin('initial', initial, 0, 0.99, sayPercent);
  const { gain, loss } = rates(uptake);
  const end = gain / (gain + loss);
  const speed = gain + loss;
  const minutes = time / 60;
  const gapAtStart = end - initial;
  if (time === 0 || gapAtStart === 0) return initial;
  // With shares s of the capacity: t·speed = capacity·[(1 − end)·ln(gap₀/gap) + s − s₀]; solved for x = ln(gap₀/gap) ≥ 0.
  const wanted = (minutes * speed) / ASSUMED.capacity;
  const reached = (x: number): number => initial - gapAtStart * Math.expm1(-x);
  const miss = (x: number): number => (1 - end) * x + reached(x) - initial - wanted;
  const most = (wanted + 1) / (1 - end) + 1;
  return reached(findRoot(miss, 0, most, 1e-12));
}
