import { needNotNegative, needPositive } from '../quantity/check-input.ts';

/** Reserve above all demand that is advised, as a fraction of demand (seen in a secondary source). */
export const ADVISED_RESERVE = 0.5;

export interface CompressorLoad {
  /** kg/s */
  readonly demand: number;
  /** Demand over rating; above 1 the pressure sags. */
  readonly load: number;
  /** What is left, over demand; below zero it falls short. Infinite with no demand is given as null. */
  readonly reserve: number | null;
  readonly hasAdvisedReserve: boolean;
}

/**
 * What all rigs on one compressor draw, with breathing air, against what it is rated for (all kg/s).
 * Its rating falls with height and wear: use what it gives here.
 * @throws RangeError for a rating that is not above zero or a demand below zero.
 */
export function compressorLoad(ratedFlow: number, demands: readonly number[]): CompressorLoad {
  needPositive('rated flow', ratedFlow, 'kg/s');
  for (const demand of demands) needNotNegative('demand', demand, 'kg/s');
  const demand = demands.reduce((sum, one) => sum + one, 0);
  const reserve = demand > 0 ? ratedFlow / demand - 1 : null;
  return { demand, load: demand / ratedFlow, reserve, hasAdvisedReserve: reserve === null || reserve >= ADVISED_RESERVE };
}
