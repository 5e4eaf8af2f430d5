import { needNotNegative } from '../quantity/check-input.ts';

/** Mass of abrasive over mass of air that the published consumption charts show, nearly alike for every nozzle (1.31 to 1.37 at 100 psi). */
export const USUAL_ABRASIVE_RATIO = 1.35;

/**
 * How much abrasive in the stream multiplies a hose's friction: 1 + ratio of abrasive to air by mass. A rule for dilute
 * conveying, good to about ±40 %; it gives 14, 4.9 and 2.0 psi for 50 ft of 1, 1¼ and 1½ in blast hose with a 7/16 in
 * nozzle and 100 psi at the machine, where a trade page shows 16, 7 and 2 psi without naming the nozzle (seen in a
 * secondary source). A rig's own baseline replaces it.
 */
export function abrasiveLoading(ratio: number = USUAL_ABRASIVE_RATIO): number {
  needNotNegative('abrasive ratio', ratio);
  return 1 + ratio;
}
