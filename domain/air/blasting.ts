import type { GaugePressure } from '../quantity/pressure.ts';

const PSI = 6894.757293168361;

/** Pressures at which blasting is taken to begin and to have ended, Pa gauge; the gap keeps noise from counting as bursts. */
export interface BlastingLimits {
  readonly on: number;
  readonly off: number;
}

/** At the nozzle (common practice, no source). */
export const NOZZLE_LIMITS: BlastingLimits = { on: 20 * PSI, off: 10 * PSI };

/**
 * Whether the nozzle is under flow, from its pressure, with hysteresis. Without a handle signal this is all there is: it
 * can't tell a held handle from a failed deadman.
 * @throws RangeError where `off` isn't below `on`.
 */
export function isBlasting(was: boolean, nozzlePressure: GaugePressure, limits: BlastingLimits = NOZZLE_LIMITS): boolean {
  if (!(limits.off < limits.on)) throw new RangeError('limits: off must lie below on');
  return nozzlePressure >= (was ? limits.off : limits.on);
}

/**
 * As `isBlasting` from the loss along the line (supply less machine, zeros matched) where nothing measures the nozzle: no
 * flow, no loss. The limits belong to the rig: a third and a sixth of its loss while blasting serve.
 */
export function isFlowing(was: boolean, loss: number, usualLoss: number): boolean {
  if (!(usualLoss > 0)) throw new RangeError(`usual loss must be above 0, found ${usualLoss} Pa`);
  return loss >= usualLoss * (was ? 1 / 6 : 1 / 3);
}
