/** Everything above `after` up to and including `through`. */
export type SequenceRange = readonly [after: number, through: number];

/**
 * Which sequences are committed, as ranges in order that neither overlap nor touch: after a cut the newest go on at once while the
 * gap behind them is filled.
 */
export type SequenceRanges = readonly SequenceRange[];

/** The ranges with one more. */
export function addRange(ranges: SequenceRanges, [after, through]: SequenceRange): SequenceRanges {
  if (through <= after) return ranges;
  const before = ranges.filter((range) => range[1] < after);
  const behind = ranges.filter((range) => range[0] > through);
  const touched = ranges.filter((range) => range[1] >= after && range[0] <= through);
  return [...before, [Math.min(after, ...touched.map(([low]) => low)), Math.max(through, ...touched.map(([, high]) => high))], ...behind];
}

export function covers(ranges: SequenceRanges, sequence: number): boolean {
  // The newest range is where nearly everything arrives.
  for (let at = ranges.length - 1; at >= 0; at -= 1) {
    const range = ranges[at];
    if (range && sequence > range[0]) return sequence <= range[1];
  }
  return false;
}

/** The highest sequence up to which nothing is missing. */
export function contiguousThrough(ranges: SequenceRanges): number {
  const [first] = ranges;
  return first?.[0] === 0 ? first[1] : 0;
}

/** The highest sequence of all. */
export function highest(ranges: SequenceRanges): number {
  return ranges.at(-1)?.[1] ?? 0;
}

/** How many sequences are covered. */
export function countOf(ranges: SequenceRanges): number {
  return ranges.reduce((sum, [after, through]) => sum + through - after, 0);
}

/** The first gap at or below a sequence; null where there is none. */
export function firstGap(ranges: SequenceRanges, through: number): SequenceRange | null {
  const after = contiguousThrough(ranges);
  const next = ranges.find((range) => range[0] > after);
  const end = Math.min(through, next?.[0] ?? through);
  return end > after ? [after, end] : null;
}
