import { needNotNegative, needPositive, needWithin, sayCelsius, sayPressure } from '../quantity/check-input.ts';
import { findRoot } from '../quantity/find-root.ts';
import { type AbsolutePressure, type GaugePressure, toAbsolute } from '../quantity/pressure.ts';
import { airViscosity, frictionFactor } from './pipe-friction.ts';
import { AIR_GAS_CONSTANT, USUAL_TEMPERATURE } from './standard-air.ts';

/** Roughness of rubber air hose, m (0.0006 in), fitted to the published hose chart: see docs/computations.md. */
export const HOSE_ROUGHNESS = 0.0006 * 0.0254;

export interface Hose {
  /** m */
  readonly bore: number;
  /** m; 0 is no hose and no loss. */
  readonly length: number;
  /** Friction over that of clean air: 1 for a supply hose, more with abrasive in the stream (`abrasiveLoading`). */
  readonly loading?: number;
  /** Sum of the loss coefficients of couplings, elbows and valves at this bore. */
  readonly fittings?: number;
  /** m */
  readonly roughness?: number;
}

/** The air that enters a hose. */
export interface HoseAir {
  readonly inlet: GaugePressure;
  readonly atmosphere: AbsolutePressure;
  /** K; 20 °C unless given. Held along the hose. */
  readonly temperature?: number;
}

/** kg/(s·m²) below which air stands still: far under any leak, far over where division overflows. */
const STILL = 1e-9;

/** What resists, per kinetic pressure: friction over the length, and fittings. */
function resistance(hose: Hose, flux: number, temperature: number): number {
  const { bore, length, loading = 1, fittings = 0, roughness = HOSE_ROUGHNESS } = hose;
  if (flux < STILL) return 0;
  return (loading * frictionFactor((flux * bore) / airViscosity(temperature), roughness / bore) * length) / bore + fittings;
}

function needHose(hose: Hose, { temperature = USUAL_TEMPERATURE }: HoseAir): number {
  needPositive('bore', hose.bore, 'm');
  needNotNegative('length', hose.length, 'm');
  needPositive('loading', hose.loading ?? 1);
  needNotNegative('fittings', hose.fittings ?? 0);
  needWithin('roughness', hose.roughness ?? HOSE_ROUGHNESS, 0, hose.bore / 10);
  needWithin('temperature', temperature, 173.15, 673.15, sayCelsius);
  return temperature;
}

/** As `hoseLoss`, undefined where the hose can't pass the flow: the solver asks far beyond what can be. */
export function findHoseLoss(hose: Hose, air: HoseAir, massFlow: number): number | undefined {
  const temperature = needHose(hose, air);
  needNotNegative('flow', massFlow, 'kg/s');
  const inlet = toAbsolute(air.inlet, air.atmosphere);
  const flux = massFlow / ((Math.PI / 4) * hose.bore ** 2);
  const resisting = resistance(hose, flux, temperature);
  // Absent, a hose neither rubs nor speeds the air up.
  if (resisting === 0) return 0;
  const kinetic = flux ** 2 * AIR_GAS_CONSTANT * temperature;
  const withoutSpeedUp = inlet ** 2 - kinetic * resisting;
  if (withoutSpeedUp <= kinetic) return undefined;
  // Newton from above on p1² − p2² = G²RT(resistance + 2 ln(p1/p2)), which is concave there: it can't overshoot the root.
  let outlet = Math.sqrt(withoutSpeedUp);
  for (let step = 0; step < 50; step++) {
    const miss = inlet ** 2 - outlet ** 2 - kinetic * (resisting + 2 * Math.log(inlet / outlet));
    const slope = 2 * kinetic / outlet - 2 * outlet;
    const next = outlet - miss / slope;
    if (!(next ** 2 > kinetic)) return undefined;
    if (Math.abs(next - outlet) < 1e-9 * inlet) return inlet - next;
    outlet = next;
  }
  return undefined;
}

/**
 * Pressure lost along a hose, Pa: isothermal compressible flow of an ideal gas, Darcy–Colebrook friction, fittings and the
 * air's own speeding-up. Within 35 % of the published hose chart (docs/computations.md); with abrasive the loading rules,
 * and that is known only from the rig's own baseline.
 * @throws RangeError for impossible input, and when the hose can't pass that flow at that pressure.
 */
export function hoseLoss(hose: Hose, air: HoseAir, massFlow: number): number {
  const loss = findHoseLoss(hose, air, massFlow);
  if (loss === undefined) throw new RangeError(`flow of ${Number(massFlow.toPrecision(4))} kg/s is more than this hose can pass at ${sayPressure(air.inlet)}`);
  return loss;
}

/**
 * Mass flow, kg/s, that loses `loss` Pa along a hose: `hoseLoss` turned round, as a rough flow meter.
 * @throws RangeError for a hose of no length, or a loss that takes the outlet below vacuum.
 */
export function hoseFlow(hose: Hose, air: HoseAir, loss: number): number {
  const temperature = needHose(hose, air);
  const inlet = toAbsolute(air.inlet, air.atmosphere);
  needWithin('loss', loss, 0, inlet * (1 - 1e-9), sayPressure);
  if (hose.length === 0 && !hose.fittings) throw new RangeError('length must be above 0 for a loss to tell the flow');
  if (loss === 0) return 0;
  const outlet = inlet - loss;
  const drop = inlet ** 2 - outlet ** 2;
  const speedUp = 2 * Math.log(inlet / outlet);
  const driving = (flux: number): number => flux ** 2 * AIR_GAS_CONSTANT * temperature * (resistance(hose, flux, temperature) + speedUp) - drop;
  // Without friction the air would only speed up: no flow can be higher.
  const most = Math.sqrt(drop / (AIR_GAS_CONSTANT * temperature * speedUp));
  return findRoot(driving, 0, most, most * 1e-12) * (Math.PI / 4) * hose.bore ** 2;
}

/**
 * The loading that makes a hose lose what it was seen to lose at a known flow: how a rig's baseline calibrates the model.
 * Undefined where fittings and speeding-up alone already lose more: the reading can't be used.
 * @throws RangeError for impossible input.
 */
export function hoseLoading(hose: Hose, air: HoseAir, massFlow: number, loss: number): number | undefined {
  const temperature = needHose(hose, air);
  needPositive('flow', massFlow, 'kg/s');
  needPositive('length', hose.length, 'm');
  const inlet = toAbsolute(air.inlet, air.atmosphere);
  if (!(loss > 0 && loss < inlet)) return undefined;
  const outlet = inlet - loss;
  const flux = massFlow / ((Math.PI / 4) * hose.bore ** 2);
  const kinetic = flux ** 2 * AIR_GAS_CONSTANT * temperature;
  const resisted = (inlet ** 2 - outlet ** 2) / kinetic - 2 * Math.log(inlet / outlet) - (hose.fittings ?? 0);
  const loading = resisted / resistance({ ...hose, loading: 1, fittings: 0 }, flux, temperature);
  return loading > 0 ? loading : undefined;
}
