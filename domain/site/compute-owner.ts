import { computedPointsOf, type OwnersPoint } from '../points/computed/computed-points.ts';
import type { Sight, Way } from '../points/computed/computed-point.ts';
import { pointFromSi, pointToSi } from '../points/point-unit.ts';
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
  readonly memory: unknown;
}

/** The state of a point as an owner sees it: its own first, then its compressor's, then the site's. */
export type Lookup = (id: string) => PointState | undefined;

/**
 * Computes an owner's computed points, in the order of the table, each from what `lookup` shows and what was computed before it.
 * One whose computation fails by our own fault is `not-computable`, and `onFailure` is told.
 * A point none of whose ways ever had an input is left out: what a site does not measure is no fault.
 */
export function computeOwner(owner: Owner, lookup: Lookup, atMs: number, onFailure: (id: string, error: unknown) => void): ComputedResult[] {
  const results = new Map<string, ComputedResult>();
  const inputs = (id: string): Input | undefined => results.get(id) ?? lookup(id);
  const memoryOf = (id: string): unknown => (results.get(id) ?? lookup(id))?.memory;
  const see: Sight & { memory: unknown } = {
    atMs,
    setup: owner.setup,
    memory: undefined,
    memoryOf,
    value: (id) => pointToSi(id, inputs(id)?.value ?? Number.NaN),
    optional: (id) => ((input) => (isUsable(input) ? pointToSi(id, input.value) : null))(inputs(id)),
  };
  for (const point of computedPointsOf(owner.kind)) {
    see.memory = lookup(point.id)?.memory;
    const result = computePoint(point, inputs, see, onFailure);
    if (result) results.set(point.id, result);
  }
  return [...results.values()];
}

type Input = Pick<PointState, 'value' | 'quality' | 'reason' | 'observedAtMs'>;
type UsableInput = Input & { readonly value: number };

function computePoint({ id, ways, kind }: OwnersPoint, inputs: (id: string) => Input | undefined, see: Sight, onFailure: (id: string, error: unknown) => void): ComputedResult | undefined {
  let lacking: Way | undefined;
  for (const way of ways) {
    let quality: Quality = 'good';
    let observedAtMs: number | null = null;
    let isComplete = true;
    let isReady = true;
    for (const need of way.needs) {
      const input = inputs(need);
      if (!input) isComplete = false;
      if (!isUsable(input)) {
        isReady = false;
        continue;
      }
      quality = worseQuality(quality, input.quality);
      if (input.observedAtMs !== null) observedAtMs = observedAtMs === null ? input.observedAtMs : Math.min(observedAtMs, input.observedAtMs);
    }
    if (isReady) return answer(id, kind.resolution, way, see, quality, observedAtMs, onFailure);
    if (isComplete) lacking ??= way;
  }
  return lacking && { id, value: null, quality: 'bad', reason: blame(lacking, inputs), observedAtMs: null, memory: see.memory };
}

function answer(id: string, resolution: number, way: Way, see: Sight, quality: Quality, observedAtMs: number | null, onFailure: (id: string, error: unknown) => void): ComputedResult {
  const none = (reason: QualityReason, memory: unknown): ComputedResult => ({ id, value: null, quality: 'bad', reason, observedAtMs, memory });
  try {
    const computed = way.compute(see);
    const memory = computed.memory === undefined ? see.memory : computed.memory;
    if ('reason' in computed) return none(computed.reason, memory);
    const value = onGrid(pointFromSi(id, computed.si), resolution);
    if (!Number.isFinite(value)) return none('not-computable', memory);
    return { id, value, quality, reason: quality === 'good' ? null : 'input-uncertain', observedAtMs, memory };
  } catch (error) {
    // Physics refuses impossible input with a RangeError; anything else is our own fault and must not be hidden.
    if (!(error instanceof RangeError)) onFailure(id, error);
    return none('not-computable', see.memory);
  }
}

function isUsable(input: Input | undefined): input is UsableInput {
  return input !== undefined && input.value !== null && input.quality !== 'bad';
}

/** Reasons that say what is the matter are passed on as they are; any other lack is the input's. */
const PASSED_ON: readonly (QualityReason | null)[] = ['no-flow', 'not-computable'];

function blame(way: Way, inputs: (id: string) => Input | undefined): QualityReason {
  const lacking = way.needs.map((need) => inputs(need)).find((input) => !isUsable(input));
  if (lacking?.reason && PASSED_ON.includes(lacking.reason)) return lacking.reason;
  return lacking?.reason === 'never-seen' ? 'input-missing' : 'input-bad';
}
