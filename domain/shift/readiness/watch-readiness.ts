import { usable } from '../../alarms/view.ts';
import { nextHold } from './hold-test.ts';
import { CO_LIMIT } from './judge-proof.ts';
import { expire, happened, type Readiness, type ReadySight } from './readiness.ts';
import type { Proof, ReadyEvent } from './step.ts';

const HOUR_MS = 3_600_000;
/** psi gauge of the compressor below which it was down, and the fall from its peak that ends an unload cycle (judgement, no source). */
const COMPRESSOR_DOWN = 20;
const RUNNING = 50;
const CYCLE_FALL = 3;
/** °C at which the handle's line may freeze: the handle is tried hourly. */
const COLD = 2;

/** The check after another second of what the sensors show. The same object where nothing moved: most seconds move nothing. */
export function watchReadiness(state: Readiness, sight: ReadySight, atMs: number): Readiness {
  if (sight.situation.shiftSinceMs === null) return state;
  let next = expire(state, sight.steps, atMs);
  const event = seenEvent(next, sight, atMs);
  if (event !== null) next = happened(next, event, sight.steps, atMs);
  if (next.hold?.ended === null) next = { ...next, hold: nextHold(next.hold, usable(sight.see('supply-pressure')), sight.isBlasting, atMs) };
  next = watchUnload(next, sight);
  next = watchSteady(next, sight, atMs);
  return watchTries(next, sight);
}

/** What the sensors and the rig's description tell by themselves; everything else is told by a person. */
function seenEvent(state: Readiness, sight: ReadySight, atMs: number): ReadyEvent | null {
  const { compressor, handle, hoses, dress } = state.signed;
  const pressure = compressor && usable(sight.see('compressor-pressure'));
  if (pressure != null && pressure < COMPRESSOR_DOWN) return 'compressor-restart';
  if (hoses && hoses.built !== sight.built) return 'hose-changed';
  if (dress && sight.situation.underHood.some(({ name }) => !dress.people.includes(name))) return 'new-blaster';
  if (!handle || sight.isBlasting) return null;
  if (atMs - Math.max(handle.atMs, sight.situation.lastBlastingMs ?? 0) >= HOUR_MS) return 'break';
  const ambient = usable(sight.see('ambient-temperature'));
  return ambient !== null && ambient <= COLD && atMs - handle.atMs >= HOUR_MS ? 'cold' : null;
}

/** Watched until its step is signed. */
function watchUnload(state: Readiness, sight: ReadySight): Readiness {
  if (state.signed['compressor']) return state;
  const pressure = usable(sight.see('compressor-pressure'));
  if (pressure === null) return state;
  const before = state.unload ?? { peak: pressure, cycled: false };
  const peak = Math.max(before.peak, pressure);
  const cycled = before.cycled || (peak >= RUNNING && pressure <= peak - CYCLE_FALL);
  return state.unload && peak === before.peak && cycled === before.cycled ? state : { ...state, unload: { peak, cycled } };
}

function watchSteady(state: Readiness, sight: ReadySight, atMs: number): Readiness {
  if (state.signed['air']) return state;
  const proof = sight.steps.find(({ id }) => id === 'air')?.proofs.find((one): one is Extract<Proof, { kind: 'steady' }> => one.kind === 'steady');
  const ppm = proof && usable(sight.see(proof.point));
  const { steady } = state;
  if (proof === undefined || ppm == null || ppm >= CO_LIMIT[sight.regime]) return steady === null ? state : { ...state, steady: null };
  if (steady === null) return { ...state, steady: { sinceMs: atMs, low: ppm, high: ppm } };
  const [low, high] = [Math.min(steady.low, ppm), Math.max(steady.high, ppm)];
  if (high - low > proof.within) return { ...state, steady: { sinceMs: atMs, low: ppm, high: ppm } };
  return low === steady.low && high === steady.high ? state : { ...state, steady: { ...steady, low, high } };
}

/** Tries count from the moment the step can be done: what the handle did before proves nothing about now. */
function watchTries(state: Readiness, sight: ReadySight): Readiness {
  if (state.signed['handle'] || state.triesFrom !== null) return state;
  const cycles = usable(sight.see('trigger-cycles'));
  const handle = sight.steps.find(({ id }) => id === 'handle');
  return cycles !== null && handle?.after.every((id) => state.signed[id]) ? { ...state, triesFrom: cycles } : state;
}
