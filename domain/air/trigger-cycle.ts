import type { GaugePressure } from '../quantity/pressure.ts';

const PSI = 6894.757293168361;
/** Nozzle pressure below which it has stopped, and pot pressure below which it has blown down, Pa gauge. */
const STOPPED = 10 * PSI;
const BLOWN_DOWN = 5 * PSI;

/** Times of one cycle of the handle, ms. */
export type TriggerCycle =
  | { readonly state: 'released' }
  | { readonly state: 'held'; readonly sinceMs: number; readonly tooLong: boolean }
  | { readonly state: 'stopping'; readonly releasedMs: number; readonly heldMs: number; readonly nozzleMs: number | null; readonly potMs: number | null; readonly failed: boolean };

export interface TriggerSight {
  readonly atMs: number;
  readonly held: boolean;
  /** Null where nothing measures it. */
  readonly nozzle: GaugePressure | null;
  readonly pot: GaugePressure | null;
}

export interface TriggerLimits {
  /** The equipment manual's time for the nozzle to stop, ms. */
  readonly stopMs: number;
  /** 1.2 × what a full pot lasts, ms: a handle held longer is tied or jammed. */
  readonly heldMs: number;
}

export type TriggerEvent =
  | { readonly kind: 'nozzle-stopped'; readonly afterMs: number }
  | { readonly kind: 'pot-blown-down'; readonly afterMs: number }
  | { readonly kind: 'deadman-failed'; readonly afterMs: number }
  | { readonly kind: 'held-too-long'; readonly afterMs: number };

/** Five seconds where the manual gives none, an hour for bulk pots (common practice, no source). */
export const USUAL_TRIGGER_LIMITS: TriggerLimits = { stopMs: 5000, heldMs: 3_600_000 };

/**
 * Follows the handle through hold, release, nozzle stop and blow-down, in the order of the readings. Needs the handle's
 * signal: without it a failed deadman can't be told from blasting, and nothing here may be claimed.
 */
export function nextTriggerCycle(cycle: TriggerCycle, seen: TriggerSight, limits: TriggerLimits = USUAL_TRIGGER_LIMITS): { cycle: TriggerCycle; events: TriggerEvent[] } {
  if (seen.held) return hold(cycle, seen, limits);
  if (cycle.state === 'released') return { cycle, events: [] };
  const stopping: Extract<TriggerCycle, { state: 'stopping' }> =
    cycle.state === 'stopping'
      ? cycle
      : { state: 'stopping', releasedMs: seen.atMs, heldMs: seen.atMs - cycle.sinceMs, nozzleMs: null, potMs: null, failed: false };
  return stop(stopping, seen, limits);
}

function hold(cycle: TriggerCycle, { atMs }: TriggerSight, limits: TriggerLimits): { cycle: TriggerCycle; events: TriggerEvent[] } {
  if (cycle.state !== 'held') return { cycle: { state: 'held', sinceMs: atMs, tooLong: false }, events: [] };
  const afterMs = atMs - cycle.sinceMs;
  if (cycle.tooLong || afterMs <= limits.heldMs) return { cycle, events: [] };
  return { cycle: { ...cycle, tooLong: true }, events: [{ kind: 'held-too-long', afterMs }] };
}

function stop(from: Extract<TriggerCycle, { state: 'stopping' }>, seen: TriggerSight, limits: TriggerLimits): { cycle: TriggerCycle; events: TriggerEvent[] } {
  const afterMs = seen.atMs - from.releasedMs;
  const events: TriggerEvent[] = [];
  let { nozzleMs, potMs, failed } = from;
  if (nozzleMs === null && seen.nozzle !== null && seen.nozzle < STOPPED) {
    nozzleMs = afterMs;
    events.push({ kind: 'nozzle-stopped', afterMs });
  }
  if (potMs === null && seen.pot !== null && seen.pot < BLOWN_DOWN) {
    potMs = afterMs;
    events.push({ kind: 'pot-blown-down', afterMs });
  }
  if (nozzleMs === null && seen.nozzle !== null && !failed && afterMs > limits.stopMs) {
    failed = true;
    events.push({ kind: 'deadman-failed', afterMs });
  }
  const cycle: TriggerCycle = { ...from, nozzleMs, potMs, failed };
  return { cycle, events };
}

/** A stop against the rig's own baseline at the same fill: slow beyond half as long again and a second (common practice, no source). */
export function isSlowStop(afterMs: number, baselineMs: number): boolean {
  if (!(baselineMs >= 0)) throw new RangeError(`baseline must not be below 0, found ${baselineMs} ms`);
  return afterMs > baselineMs * 1.5 + 1000;
}

/**
 * The blow-down time to expect at a fill, ms: the emptier the pot, the more air it must let go, in proportion to the air space.
 * @param fill how full the pot is, 0 to 1.
 */
export function blowDownBaseline(fullMs: number, emptyMs: number, fill: number): number {
  if (!(fill >= 0 && fill <= 1)) throw new RangeError(`fill must lie between 0 and 1, found ${fill}`);
  return emptyMs + (fullMs - emptyMs) * fill;
}
