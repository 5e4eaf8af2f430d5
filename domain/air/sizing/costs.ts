import { SIZING_BOUNDS, type SetUp } from './set-up.ts';
import { type Sized, sizeLine, sizeRoughly } from './size-line.ts';

/** Nozzles come in steps of 1/16 in, which is also where a worn one is changed; hoses in lengths of 50 ft (common practice, no source). */
export const NOZZLE_STEP = 0.0254 / 16;
export const HOSE_PIECE = 50 * 0.3048;

export type CostKind = 'worn' | 'longer' | 'rig';

/** What one change of a set-up costs at the first rig; gains are below zero in `pressure` and `work` too where there are any. */
export interface Cost {
  readonly kind: CostKind;
  readonly after: Sized;
  /** Pa lost at the nozzle. */
  readonly pressure: number;
  /** kg/s more of all rigs together. */
  readonly air: number;
  /** Share of the work lost at the first nozzle, by the rule of thumb. */
  readonly work: number;
}

/** The set-up with one thing changed. */
export function changed(setUp: SetUp, kind: CostKind): SetUp {
  switch (kind) {
    case 'worn':
      return { ...setUp, nozzleBore: setUp.nozzleBore + NOZZLE_STEP };
    case 'longer':
      return { ...setUp, blastLength: setUp.blastLength + HOSE_PIECE };
    case 'rig':
      return { ...setUp, rigs: setUp.rigs + 1 };
  }
}

/** What a worn nozzle, 50 ft more of blast hose and one more rig cost; what can't be at all is left out. */
export function costsOf(setUp: SetUp, before: Sized): readonly Cost[] {
  return (['worn', 'longer', 'rig'] as const).flatMap((kind): Cost[] => {
    const after = solvable(() => sizeLine(changed(setUp, kind)));
    return after === null ? [] : [{ kind, after, pressure: before.nozzle.value - after.nozzle.value, air: after.air - before.air, work: before.work - after.work }];
  });
}

/** Null where physics refuses the set-up; any other error is our own fault. */
function solvable<T>(solve: () => T): T | null {
  try {
    return solve();
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

export const CURVES = ['nozzleBore', 'blastLength'] as const;
export type CurveField = (typeof CURVES)[number];

export interface Curve {
  /** m */
  readonly at: readonly number[];
  /** Pa gauge */
  readonly nozzle: readonly (number | null)[];
  readonly load: readonly (number | null)[];
}

/** Nozzle pressure and compressor load over one field, everything else as it is; null where the line can't be solved. */
export function curveOf(setUp: SetUp, field: CurveField, points = 33): Curve {
  const { low, high } = SIZING_BOUNDS[field];
  const at = Array.from({ length: points }, (_, index) => low + ((high - low) * index) / (points - 1));
  const solved = at.map((value) => solvable(() => sizeRoughly({ ...setUp, [field]: value })));
  return { at, nozzle: solved.map((one) => one?.nozzle ?? null), load: solved.map((one) => one?.load ?? null) };
}
