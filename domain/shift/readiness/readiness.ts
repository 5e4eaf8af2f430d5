import type { JudgedValue } from '../../alarms/judge.ts';
import type { Regime } from '../../alarms/rule.ts';
import type { Situation } from '../../alarms/situation.ts';
import type { HoldRun } from './hold-test.ts';
import type { ReadyEvent, ReadyStep, Sequence } from './step.ts';

/** What the check sees of a rig: its sensors, and what people told of it. */
export interface ReadySight {
  readonly situation: Situation;
  readonly isBlasting: boolean;
  readonly regime: Regime;
  /** psi gauge */
  readonly vesselRating: number | null;
  /** psi gauge */
  readonly respirator: { readonly low: number; readonly high: number } | null;
  /** Hose and nozzle as one word: another word, another hose or nozzle. */
  readonly built: string;
  readonly steps: readonly ReadyStep[];
  see(id: string): JudgedValue | undefined;
}

/** A step signed by somebody, with what the sensors showed at that moment. */
export interface Signature {
  readonly atMs: number;
  readonly by: string;
  readonly role: string;
  readonly note: string;
  readonly evidence: readonly string[];
  /** Who was under the hood. */
  readonly people: readonly string[];
  readonly built: string;
}

/** How far a rig's check has come; plain data, replaced and never changed in place. */
export interface Readiness {
  readonly signed: Readonly<Record<string, Signature>>;
  /** Somebody said that it is not so. */
  readonly failed: Readonly<Record<string, { readonly atMs: number; readonly by: string; readonly text: string }>>;
  readonly dueAgain: Readonly<Record<string, { readonly atMs: number; readonly event: ReadyEvent | 'expired' }>>;
  readonly released: { readonly atMs: number; readonly by: string } | null;
  readonly hold: HoldRun | null;
  /** Highest psi gauge of the compressor since its step fell due, and whether it came down from there. */
  readonly unload: { readonly peak: number; readonly cycled: boolean } | null;
  /** CO since when it has been steady, between what. */
  readonly steady: { readonly sinceMs: number; readonly low: number; readonly high: number } | null;
  /** Releases of the handle before this step could be done. */
  readonly triesFrom: number | null;
  /** When a list was begun anew. */
  readonly begunAtMs: Readonly<Partial<Record<Sequence, number>>>;
}

export const NO_READINESS: Readiness = { signed: {}, failed: {}, dueAgain: {}, released: null, hold: null, unload: null, steady: null, triesFrom: null, begunAtMs: {} };

/** What people do with the check. */
export type ReadyAction =
  | { readonly kind: 'ready-sign'; readonly rig: string; readonly step: string; readonly note: string }
  | { readonly kind: 'ready-fail'; readonly rig: string; readonly step: string; readonly text: string }
  | { readonly kind: 'ready-again'; readonly rig: string; readonly event: ReadyEvent }
  /** `volume` in m³. */
  | { readonly kind: 'ready-hold'; readonly rig: string; readonly start: boolean; readonly volume: number }
  | { readonly kind: 'ready-begin'; readonly rig: string; readonly sequence: ReadyStep['sequence'] }
  | { readonly kind: 'ready-release'; readonly rig: string };

export function isReadyAction<T extends { readonly kind: string }>(action: T): action is T & Extract<T, { kind: ReadyAction['kind'] }> {
  return action.kind.startsWith('ready-');
}

function without<T>(from: Readonly<Record<string, T>>, ids: readonly string[]): Readonly<Record<string, T>> {
  return Object.fromEntries(Object.entries(from).filter(([id]) => !ids.includes(id)));
}

/** What was watched for these steps counts no more. */
function unwatched(state: Readiness, ids: readonly string[]): Readiness {
  return {
    ...state,
    signed: without(state.signed, ids),
    failed: without(state.failed, ids),
    dueAgain: without(state.dueAgain, ids),
    hold: ids.includes('pressure') ? null : state.hold,
    unload: ids.includes('compressor') ? null : state.unload,
    steady: ids.includes('air') ? null : state.steady,
    triesFrom: ids.includes('handle') ? null : state.triesFrom,
  };
}

/** Something happened: the signed steps that it undoes are due again, and a release made before it is void. */
export function happened(state: Readiness, event: ReadyEvent, steps: readonly ReadyStep[], atMs: number): Readiness {
  const ids = steps.filter((step) => step.again.includes(event) && state.signed[step.id]).map(({ id }) => id);
  if (ids.length === 0) return state;
  const next = unwatched(state, ids);
  return { ...next, released: null, dueAgain: { ...next.dueAgain, ...Object.fromEntries(ids.map((id) => [id, { event, atMs }])) } };
}

/** What was signed too long ago is no longer signed, and what was watched for it is watched anew. */
export function expire(state: Readiness, steps: readonly ReadyStep[], atMs: number): Readiness {
  const ids = steps.filter(({ id, expiresMs }) => expiresMs !== null && atMs >= (state.signed[id]?.atMs ?? atMs) + expiresMs).map(({ id }) => id);
  if (ids.length === 0) return state;
  const next = unwatched(state, ids);
  return { ...next, released: null, dueAgain: { ...next.dueAgain, ...Object.fromEntries(ids.map((id) => [id, { event: 'expired' as const, atMs }])) } };
}

/** Begins a list from its first step. */
export function begin(state: Readiness, sequence: ReadyStep['sequence'], steps: readonly ReadyStep[], atMs: number): Readiness {
  const ids = steps.filter((step) => step.sequence === sequence).map(({ id }) => id);
  const next = unwatched(state, ids);
  return { ...next, begunAtMs: { ...next.begunAtMs, [sequence]: atMs }, released: sequence === 'before' ? null : next.released };
}

/** Since when a step waits to be done in this round; entries from before it are of an earlier one. */
export function roundSince(state: Readiness, step: ReadyStep, situation: Situation): number {
  return Math.max(state.dueAgain[step.id]?.atMs ?? 0, state.begunAtMs[step.sequence] ?? 0, situation.shiftSinceMs ?? 0);
}
