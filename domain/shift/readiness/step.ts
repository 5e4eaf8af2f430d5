import type { EntryKind } from '../../alarms/situation.ts';

/** The lists a crew goes through by hand: before blasting, at the end of the day, and when nothing comes out of the nozzle. */
export const SEQUENCES = ['before', 'shutdown', 'unblocking'] as const;
export type Sequence = (typeof SEQUENCES)[number];

/** What happened that makes steps due again. */
export const READY_EVENTS = ['compressor-restart', 'moved', 'break', 'cold', 'hose-changed', 'new-blaster'] as const;
export type ReadyEvent = (typeof READY_EVENTS)[number];

export const EVENT_WORDS: Readonly<Record<ReadyEvent, string>> = {
  'compressor-restart': 'the compressor was restarted',
  moved: 'the compressor was moved',
  break: 'a break of an hour or more',
  cold: 'an hour at or below 2 °C',
  'hose-changed': 'a hose or the nozzle was changed',
  'new-blaster': 'another blaster goes under the hood',
};

/** A bound that is a number in the point's unit, or one that the rig has. */
export type Bound = number | 'vessel-rating' | 'respirator-low' | 'respirator-high' | 'co-limit';

/** What a sensor can show. Where none is fitted the signature says that a person read it. */
export type Proof = { readonly says: string } & (
  | { readonly kind: 'band'; readonly point: string; readonly low: Bound | null; readonly high: Bound | null; /** Looked at after the signature too. */ readonly stays: boolean; /** Shown, and no hindrance. */ readonly advisory?: true }
  /** A point of two states that must be off. */
  | { readonly kind: 'off'; readonly point: string; readonly stays: boolean }
  /** Within `within` of itself and under `below` for so long. */
  | { readonly kind: 'steady'; readonly point: string; readonly within: number; readonly below: Bound; readonly forMs: number }
  /** Entered by hand since the step fell due, and no longer ago than this. `thisRound`: an entry from before it fell due is no use. */
  | { readonly kind: 'entry'; readonly entry: EntryKind; readonly withinMs: number; readonly thisRound: boolean }
  | { readonly kind: 'hold' }
  /** One unload cycle of the compressor, no higher than the vessel's rating. */
  | { readonly kind: 'unload' }
  /** Presses and releases of the handle since the step fell due; the last one stopped the nozzle in time. */
  | { readonly kind: 'tries'; readonly count: number; readonly stopWithinS: number }
  | { readonly kind: 'hood'; readonly some: boolean; readonly stays: boolean }
);

/** One step, as data. The words are ours; every figure is common practice, no source, unless a step says otherwise. */
export interface ReadyStep {
  readonly id: string;
  readonly sequence: Sequence;
  readonly title: string;
  readonly todo: readonly string[];
  /** What is signed: what only a person can see. */
  readonly seen: string;
  readonly proofs: readonly Proof[];
  /** What to do where it is not so. */
  readonly ifNot: string;
  readonly again: readonly ReadyEvent[];
  /** Steps that must be done before. */
  readonly after: readonly string[];
  /** A signature counts so long; null: as long as the shift. */
  readonly expiresMs: number | null;
  /** What doing this step means for the others. */
  readonly causes: ReadyEvent | null;
}

export type WrittenStep = Pick<ReadyStep, 'id' | 'title' | 'todo' | 'seen' | 'ifNot'> & Partial<ReadyStep>;

export function toStep(sequence: Sequence, written: WrittenStep): ReadyStep {
  return { sequence, proofs: [], again: [], after: [], expiresMs: null, causes: null, ...written };
}
