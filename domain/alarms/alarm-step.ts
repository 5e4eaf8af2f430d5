import type { AlarmOccurrence, AlarmState, SetAside } from './alarm.ts';
import type { Verdict } from './judge.ts';

/**
 * Where one alarm is between normal and raised. `rising` and `falling` are the on- and off-delay running;
 * `active` is about the process, the occurrence's state about what people have done.
 */
export interface AlarmTrack {
  readonly process: 'clear' | 'rising' | 'active' | 'falling';
  /** When the running delay ends; null when none runs. */
  readonly dueAtMs: number | null;
  /** What was left of the delay when the gate closed; null when not frozen with one running. */
  readonly frozenMs: number | null;
  readonly occurrence: AlarmOccurrence | null;
  /** Why the design suppresses it, in words; null where it does not. */
  readonly suppressed: string | null;
  readonly shelved: SetAside | null;
  readonly outOfService: SetAside | null;
}

export const CLEAR: AlarmTrack = { process: 'clear', dueAtMs: null, frozenMs: null, occurrence: null, suppressed: null, shelved: null, outOfService: null };

/** Nothing stands, runs or is set aside: as if nothing had ever been. */
export function isAtRest({ process, dueAtMs, frozenMs, occurrence, suppressed, shelved, outOfService }: AlarmTrack): boolean {
  return process === 'clear' && dueAtMs === null && frozenMs === null && occurrence === null && suppressed === null && shelved === null && outOfService === null;
}

/** The part of a rule that the state machine needs. */
export interface AlarmTiming {
  readonly onDelayMs: number;
  readonly offDelayMs: number;
  /** Stays until a person resets it. */
  readonly latched: boolean;
  /** Returns to normal without anybody's acknowledgement. */
  readonly autoAcknowledge: boolean;
  /** CO and loss of air: stands until somebody confirms *blaster out and accounted for*. */
  readonly needsOut: boolean;
  /** Lowest role that may shelve it; null where nobody may. */
  readonly shelvableBy: 'supervisor' | 'safety-officer' | null;
}

export type AlarmEvent =
  | { readonly kind: 'judged'; readonly verdict: Verdict; readonly value: number | null; readonly limit: number | null }
  | { readonly kind: 'due'; readonly value: number | null; readonly limit: number | null }
  | { readonly kind: 'freeze' }
  | { readonly kind: 'thaw' }
  | { readonly kind: 'suppress'; readonly because: string }
  | { readonly kind: 'unsuppress'; readonly value: number | null; readonly limit: number | null }
  | PersonEvent
  /** The stored deadline of a shelf or of an absence from service. */
  | { readonly kind: 'unshelve-due' }
  | { readonly kind: 'in-service-due' };

/** What a person does to an alarm. */
export type PersonEvent =
  | { readonly kind: 'acknowledge'; readonly by: string; readonly atRig: boolean }
  | { readonly kind: 'reset'; readonly by: string }
  | { readonly kind: 'confirm-out'; readonly by: string }
  | { readonly kind: 'shelve'; readonly by: string; readonly role: string; readonly reason: string; readonly text: string; readonly untilMs: number }
  | { readonly kind: 'unshelve'; readonly by: string }
  | { readonly kind: 'out-of-service'; readonly by: string; readonly approvedBy: string; readonly text: string; readonly untilMs: number }
  | { readonly kind: 'in-service'; readonly by: string };

/** What happened, for the journal and for the metrics. */
export type AlarmHappening =
  | 'raised'
  | 'returned'
  | 'acknowledged'
  | 'silenced-at-rig'
  | 'out-confirmed'
  | 'reset'
  | 'shelved'
  | 'unshelved'
  | 'suppressed'
  | 'unsuppressed'
  | 'out-of-service'
  | 'in-service'
  | 'closed';

/** A change of an occurrence. `from` and the new state may be the same: somebody took it at the rig too. */
export interface AlarmMove {
  readonly what: AlarmHappening;
  readonly from: AlarmState;
  readonly occurrence: AlarmOccurrence;
  readonly by: string | null;
}

export interface AlarmStep {
  readonly track: AlarmTrack;
  /** Null where nothing that a journal tells happened. */
  readonly moved: AlarmMove | null;
  /** Why an action was refused, in words; null otherwise. */
  readonly refusal: string | null;
}

/** Where an alarm is in the standard's table. A quiet alarm that is suppressed has no occurrence, and is suppressed all the same. */
export function stateOf(track: AlarmTrack): AlarmState {
  return track.occurrence?.state ?? asideOf(track) ?? 'normal';
}

/** The strongest of what sets an alarm aside: out of service, then the shelf, then the design. */
export function asideOf(track: AlarmTrack): AlarmState | null {
  if (track.outOfService) return 'out-of-service';
  if (track.shelved) return 'shelved';
  return track.suppressed === null ? null : 'suppressed-by-design';
}

export function same(track: AlarmTrack): AlarmStep {
  return { track, moved: null, refusal: null };
}

export function refused(track: AlarmTrack, refusal: string): AlarmStep {
  return { track, moved: null, refusal };
}

/** A move to an occurrence's new state; at `normal` the occurrence ends. */
export function moved(what: AlarmHappening, from: AlarmState, track: AlarmTrack, occurrence: AlarmOccurrence, by: string | null = null): AlarmStep {
  const standing = occurrence.state === 'normal' ? null : occurrence;
  return { track: { ...track, occurrence: standing }, moved: { what, from, occurrence, by }, refusal: null };
}

const UNTOUCHED = { acknowledgedAtMs: null, acknowledgedBy: null, silencedAtRigBy: null, outConfirmedAtMs: null, outConfirmedBy: null } as const;

/** A new occurrence, or a standing one raised anew: whatever people did before counts no more. */
export function raisedOccurrence(standing: AlarmOccurrence | null, state: AlarmState, seen: { readonly value: number | null; readonly limit: number | null }, atMs: number, newId: () => string): AlarmOccurrence {
  const announced = state === 'unacknowledged' || (standing?.announced ?? false);
  if (standing?.announced) return { ...standing, ...UNTOUCHED, state, clearedAtMs: null };
  const { value, limit } = seen;
  return { id: standing?.id ?? newId(), state, raisedAtMs: atMs, clearedAtMs: null, ...UNTOUCHED, announced, value, limit };
}
