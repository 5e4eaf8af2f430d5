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
}


/**
 * Runs floor and product in turn and compares within each round: on a shared machine the same program moves by tens of percent
 * within minutes, the ratio of two neighbours does not. Both answer with a rate or a duration in `unit`.
 */
export async function measure(name: string, unit: string, floor: () => number | Promise<number>, product: () => number | Promise<number>, count = 5): Promise<Result> {
  await floor();
  await product();
  const rounds: { floor: number; value: number }[] = [];
  for (let round = 0; round < count; round += 1) rounds.push({ floor: await floor(), value: await product() });
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
  return values.toSorted((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
}
