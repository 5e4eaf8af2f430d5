/** One line of `bench/results.json`. */
export interface Result {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** The same work by the shortest honest program, measured in the same run. */
  readonly floor: number;
  /** value ÷ floor. */
  readonly ratio: number;
  /** Lowest and highest ratio of the rounds. */
  readonly spread: readonly [number, number];
  /** Of a cost against a number: each number with its cost. */
  readonly series?: readonly (readonly [number: number, cost: number])[];
}

/**
 * Runs floor and product in turn and compares within each round: on a shared machine the same program moves by tens of percent
 * within minutes, the ratio of two neighbours does not. Both answer with a rate or a duration in `unit`. What starts processes of its own
 * each time has no code to warm before the first round.
 */
export async function measure(name: string, unit: string, floor: () => number | Promise<number>, product: () => number | Promise<number>, count = 5, of: 'warm code' | 'new processes' = 'warm code'): Promise<Result> {
  if (of === 'warm code') {
    await floor();
    await product();
  }
  const rounds: { floor: number; value: number }[] = [];
  for (let round = 0; round < count; round += 1) rounds.push({ floor: await floor(), value: await product() });
  return compare(name, unit, rounds);
}

/** Rounds of floor and product as one result: medians, and the ratios within each round. */
export function compare(name: string, unit: string, rounds: readonly { readonly floor: number; readonly value: number }[]): Result {
  const ratios = rounds.map((round) => round.value / round.floor).toSorted((a, b) => a - b);
  return {
    name,
    unit,
    value: median(rounds.map((round) => round.value)),
    floor: median(rounds.map((round) => round.floor)),
    ratio: median(ratios),
    spread: [ratios[0] ?? Number.NaN, ratios.at(-1) ?? Number.NaN],
  };
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const [below = Number.NaN, above = Number.NaN] = [sorted[(values.length - 1) >> 1], sorted[values.length >> 1]];
  return (below + above) / 2;
}
