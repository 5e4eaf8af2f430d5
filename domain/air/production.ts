import { sayPressure } from '../quantity/check-input.ts';
import { type GaugePressure } from '../quantity/pressure.ts';

/** Share of production lost per psi missing at the nozzle (seen in a secondary source), per Pa. */
const PER_PASCAL = 0.015 / 6894.757293168361;

/**
 * Production at a nozzle pressure over that at a reference, by the trade's rule of 1.5 % per psi; a rule of thumb for dry
 * blasting near 100 psi, never below nothing.
 * @throws RangeError for a reference that is not above the atmosphere or a pressure below it.
 */
export function productionFactor(pressure: GaugePressure, reference: GaugePressure): number {
  if (!(reference > 0)) throw new RangeError(`reference must be above the atmosphere, found ${sayPressure(reference)}`);
  if (!(pressure >= 0)) throw new RangeError(`pressure must not be below the atmosphere, found ${sayPressure(pressure)}`);
  return Math.max(0, 1 - PER_PASCAL * (reference - pressure));
}
