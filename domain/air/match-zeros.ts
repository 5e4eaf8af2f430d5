import { needPositive } from '../quantity/check-input.ts';

/** What to take off a gauge's readings, Pa; or that it is too far out to be a zero error. */
export interface ZeroMatch {
  readonly gauge: string;
  readonly offset: number;
  readonly plausible: boolean;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? NaN;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? NaN) + upper) / 2;
}

/**
 * Gauges that share one still body of air must agree: their zeros from the pressures read at rest (Pa gauge). Against the
 * reference gauge where one is named, else against their median. An offset beyond `most` is a fault, not a zero.
 * @throws RangeError for fewer than two gauges, or a reference that isn't among them.
 */
export function matchZeros(atRest: ReadonlyMap<string, number>, most: number, reference?: string): ZeroMatch[] {
  needPositive('largest zero error', most, 'Pa');
  if (atRest.size < 2) throw new RangeError('gauges: at least two must be read at rest to match their zeros');
  const truth = reference === undefined ? median([...atRest.values()]) : atRest.get(reference);
  if (truth === undefined) throw new RangeError(`reference gauge ${JSON.stringify(reference)} was not read`);
  return [...atRest].map(([gauge, read]) => ({ gauge, offset: read - truth, plausible: Math.abs(read - truth) <= most }));
}
