import { isSlowStop } from '../../air/trigger-cycle.ts';
import { type StateTest, tenth, usable } from '../view.ts';

/** psi gauge below which the nozzle has stopped. */
const STOPPED = 10;
/** A nozzle pressure older than this is not what the nozzle does now. */
const FRESH_MS = 2_000;

interface Release {
  /** Null while the handle is held. */
  readonly atMs: number | null;
  /** psi at the nozzle when the handle was let go. */
  readonly from: number;
  /** The nozzle has obeyed this release. */
  readonly hasStopped: boolean;
  /** Since when it blows, as far as it was heard without a gap, though nobody was heard to press; null while it does not. */
  readonly blowsSinceMs: number | null;
  readonly heardAtMs: number;
}

/** A nozzle that had stopped, or was not heard for a while, and blows: the word of a handle that was pressed may be a message behind. */
const AGAIN_MS = 1_500;

/**
 * The handle is released and when the manual's time (`limit`, s) is over the nozzle has not even fallen to half, or blows again. With
 * the handle held again, or without a valid pressure, it can't be said.
 */
export const deadmanFailed: StateTest = (view) => {
  const held = usable(view.see('remote-control'));
  const seen = view.see('nozzle-pressure');
  const nozzle = usable(seen);
  if (held === null || nozzle === null || view.limit === null) return 'hold';
  if (held === 1) {
    view.memory = { atMs: null, from: nozzle, hasStopped: false, blowsSinceMs: null, heardAtMs: view.atMs } satisfies Release;
    return 'hold';
  }
  const before = view.memory as Release | undefined;
  if (before === undefined) return nozzle < STOPPED ? 'clear' : 'hold';
  const released: Release = before.atMs === null ? { ...before, atMs: view.atMs, heardAtMs: view.atMs } : before;
  const releasedAtMs = released.atMs ?? view.atMs;
  view.memory = released;
  if (nozzle < Math.max(STOPPED, released.from / 2)) {
    if (!released.hasStopped || released.blowsSinceMs !== null) view.memory = { ...released, hasStopped: true, blowsSinceMs: null } satisfies Release;
    return 'clear';
  }
  view.value = tenth((view.atMs - releasedAtMs) / 1000);
  const heardAtMs = seen?.receivedAtMs ?? 0;
  const isUnheard = heardAtMs - released.heardAtMs > FRESH_MS;
  const blowsSinceMs = isUnheard || (released.hasStopped && released.blowsSinceMs === null) ? view.atMs : released.blowsSinceMs;
  if (heardAtMs !== released.heardAtMs || blowsSinceMs !== released.blowsSinceMs) view.memory = { ...released, blowsSinceMs, heardAtMs } satisfies Release;
  const dueAtMs = Math.max(releasedAtMs + view.limit * 1000, blowsSinceMs === null ? 0 : blowsSinceMs + AGAIN_MS);
  // A value from before the silence of a logger says nothing of the nozzle now.
  if (view.atMs >= dueAtMs) return heardAtMs >= view.atMs - FRESH_MS ? 'alarm' : 'hold';
  view.againAtMs = dueAtMs;
  return 'hold';
};

interface Stops {
  readonly cycles: number;
  /** The first stops of the shift, s: their median is the baseline. */
  readonly first: readonly number[];
  readonly slow: number;
  readonly seen: number | null;
}

const BASELINE_STOPS = 3;

/** Twice in a row slower than the rig's own baseline by half and a second. */
export const deadmanSlow: StateTest = (view) => {
  const cycles = usable(view.see('trigger-cycles'));
  const stop = usable(view.see('nozzle-stop'));
  const held = usable(view.see('remote-control'));
  const nozzle = usable(view.see('nozzle-pressure'));
  const before = (view.memory as Stops | undefined) ?? { cycles: 0, first: [], slow: 0, seen: null };
  // One stop is counted once, when the nozzle has come to rest.
  if (cycles === null || stop === null || held !== 0 || nozzle === null || nozzle >= STOPPED || cycles === before.cycles) return 'hold';
  view.value = stop;
  if (before.first.length < BASELINE_STOPS) {
    view.memory = { ...before, cycles, first: [...before.first, stop], seen: stop } satisfies Stops;
    return 'clear';
  }
  const baseline = before.first.toSorted((a, b) => a - b)[1] ?? stop;
  const slow = isSlowStop(stop * 1000, baseline * 1000) ? before.slow + 1 : 0;
  view.memory = { ...before, cycles, slow, seen: stop } satisfies Stops;
  return slow >= 2 ? 'alarm' : slow === 0 ? 'clear' : 'hold';
};

/** Pressure in a pot that is signed open or being filled. */
export const potPressurised: StateTest = (view) => {
  const psi = usable(view.see('pot-pressure'));
  view.value = psi;
  if (!view.situation.isPotOpen) return 'clear';
  if (psi === null || view.limit === null) return 'hold';
  return psi > view.limit ? 'alarm' : psi < view.limit - 2 ? 'clear' : 'hold';
};
