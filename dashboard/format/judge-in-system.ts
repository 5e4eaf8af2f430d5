import type { Dimension } from '../../domain/quantity/unit.ts';
import { type Rounded, type ShownLimit, decimalsOfLimit, roundHonestly } from './round-honestly.ts';
import { type UnitSystem, inSystem } from './units.ts';

export interface Shown extends Rounded {
  readonly symbol: string;
  /** In the reader's unit, as exactly as it can be told. */
  readonly limits: readonly ShownLimit[];
}

/** A value as this person reads it, rounded without crossing any of its limits. All in `unit`. */
export function judgeInSystem(value: number, unit: string, dimension: Dimension, system: UnitSystem, limits: readonly ShownLimit[]): Shown {
  const shown = inSystem(value, unit, dimension, system);
  const inShown = limits.map((l) => ({ ...l, limit: withoutNoise(inSystem(l.limit, unit, dimension, system).value) }));
  // A converted limit is never round; one that was chosen in the very unit shown is given as it was chosen.
  const isConverted = withoutNoise(inSystem(1, unit, dimension, system).value) !== 1;
  const decimals = Math.max(shown.decimals, ...(isConverted ? [] : inShown.map((l) => decimalsOfLimit(l.limit))));
  return { ...roundHonestly({ value: withoutNoise(shown.value), limits: inShown }, decimals), symbol: shown.symbol, limits: inShown };
}

/** Conversion leaves 99.99999999999999 of a hundred: that must not count as below it. */
function withoutNoise(value: number): number {
  return Number(value.toFixed(6));
}
