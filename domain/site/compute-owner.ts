import { COMPUTED_POINTS, type Way, pointFromSi, pointToSi } from '../points/computed.ts';
import { needPointKind } from '../points/catalogue.ts';
import { type Quality, type QualityReason, onGrid, worseQuality } from '../points/reading.ts';
import type { PointState } from './point-state.ts';
import type { Owner } from './topology.ts';

export interface ComputedResult {
  readonly id: string;
  readonly value: number | null;
  readonly quality: Quality;
  readonly reason: QualityReason | null;
  /** The oldest of its inputs. */
  readonly observedAtMs: number | null;
}

/** The state of a point as an owner sees it: its own first, then its compressor's, then the site's. */
export type Lookup = (id: string) => PointState | undefined;

/**
 * Computes an owner's computed points, in the order of the table, each from what `lookup` shows and what was computed before it.
 * A point none of whose ways ever had an input is left out: what a site does not measure is no fault.
 */
export function computeOwner(owner: Owner, lookup: Lookup): ComputedResult[] {
  const results = new Map<string, ComputedResult>();
  for (const point of COMPUTED_POINTS) {
    if (needPointKind(point.id).owner !== owner.kind) continue;
    const inputs = (id: string): Input | undefined => results.get(id) ?? lookup(id);
    const result = computePoint(point.id, point.ways, owner, inputs, lookup(point.id)?.value ?? null);
    if (result) results.set(point.id, result);
  }
  return [...results.values()];
}

type Input = Pick<PointState, 'value' | 'quality' | 'reason' | 'observedAtMs'>;

function computePoint(id: string, ways: readonly Way[], owner: Owner, inputs: (id: string) => Input | undefined, previous: number | null): ComputedResult | undefined {
  const complete = ways.filter((way) => way.needs.every((need) => inputs(need) !== undefined));
  if (complete.length === 0) return undefined;
  const usable = complete.find((way) => way.needs.every((need) => isUsable(inputs(need))));
  if (!usable) return { id, value: null, quality: 'bad', reason: blame(complete[0], inputs), observedAtMs: null };
  const seen = usable.needs.map((need) => inputs(need)).filter((input) => input !== undefined);
  const quality = seen.reduce<Quality>((worst, input) => worseQuality(worst, input.quality), 'good');
  const observedAtMs = oldest(seen);
  try {
    const answer = usable.compute((need) => pointToSi(need, inputs(need)?.value ?? Number.NaN), owner.line, previous);
    if ('reason' in answer) return { id, value: null, quality: 'bad', reason: answer.reason, observedAtMs };
    const value = onGrid(pointFromSi(id, answer.si), needPointKind(id).resolution);
    if (!Number.isFinite(value)) return { id, value: null, quality: 'bad', reason: 'not-computable', observedAtMs };
    return { id, value, quality, reason: quality === 'good' ? null : 'input-uncertain', observedAtMs };
  } catch (error) {
    // Physics refuses impossible input with a RangeError; anything else is our own fault and must not be hidden.
    if (error instanceof RangeError) return { id, value: null, quality: 'bad', reason: 'not-computable', observedAtMs };
    throw error;
  }
}

function isUsable(input: Input | undefined): boolean {
  return input !== undefined && input.value !== null && input.quality !== 'bad';
}

/** No flow is passed on as what it is; any other lack is the input's. */
function blame(way: Way | undefined, inputs: (id: string) => Input | undefined): QualityReason {
  const lacking = way?.needs.map((need) => inputs(need)).find((input) => !isUsable(input));
  if (lacking?.reason === 'no-flow') return 'no-flow';
  return lacking?.reason === 'never-seen' ? 'input-missing' : 'input-bad';
}

function oldest(seen: readonly Input[]): number | null {
  return seen.reduce<number | null>((min, input) => (input.observedAtMs === null ? min : min === null ? input.observedAtMs : Math.min(min, input.observedAtMs)), null);
}
