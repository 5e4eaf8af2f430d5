import type { EntryKind } from '../alarms/situation.ts';
import { type Unit, findUnit, toSi } from '../quantity/unit.ts';

/** A length as somebody wrote it; `unit` by its UCUM code. */
export interface WrittenLength {
  readonly value: number;
  readonly unit: string;
}

/** What is fitted and used on this shift, as told by the crew. Where a length is not told, the site's configuration holds. */
export interface ShiftSetup {
  readonly nozzleBore: WrittenLength | null;
  readonly hoseBore: WrittenLength | null;
  readonly hoseLength: WrittenLength | null;
  readonly compressor: string;
  readonly respirator: string;
  readonly breathingFilter: string;
  readonly abrasive: string;
  readonly notes: string;
}

export const NO_SETUP: ShiftSetup = { nozzleBore: null, hoseBore: null, hoseLength: null, compressor: '', respirator: '', breathingFilter: '', abrasive: '', notes: '' };

export interface CrewMember {
  readonly name: string;
  readonly job: string;
}

/** The certificate of a sensor; `done` and `due` are dates, `YYYY-MM-DD`. */
export interface Calibration {
  readonly point: string;
  readonly certificate: string;
  readonly done: string;
  readonly due: string;
}

/** What a signature means to the one who gives it. */
export const MEANINGS = ['checked and complete', 'approved'] as const;
export type Meaning = (typeof MEANINGS)[number];

export interface SignOff {
  readonly atMs: number;
  readonly name: string;
  readonly role: string;
  readonly meaning: Meaning;
}

/** The root of the shift's Merkle tree, signed. */
export interface Seal {
  readonly root: string;
  readonly atMs: number;
  /** Fingerprint of the key that signed it. */
  readonly key: string;
}

/** The head of a shift: who, with what, and how far it has come. What happened on it is in its items. */
export interface Shift {
  readonly id: string;
  readonly rig: string;
  readonly startedAtMs: number;
  readonly startedBy: string;
  readonly endedAtMs: number | null;
  readonly endedBy: string | null;
  /** A drill: nothing in it happened for real. */
  readonly drill: boolean;
  readonly crew: readonly CrewMember[];
  readonly setup: ShiftSetup;
  readonly calibrations: readonly Calibration[];
  readonly signOffs: readonly SignOff[];
  readonly seal: Seal | null;
}

export type ShiftState = 'open' | 'ended' | 'signed-once' | 'sealed';

/** Two signatures without a seal are the moment in which the tree is built: the shift counts as sealed once the root is signed. */
export function shiftState({ endedAtMs, signOffs, seal }: Pick<Shift, 'endedAtMs' | 'signOffs' | 'seal'>): ShiftState {
  if (seal !== null) return 'sealed';
  if (endedAtMs === null) return 'open';
  return signOffs.length === 0 ? 'ended' : 'signed-once';
}

/** Something said, entered or added on a shift. Never changed: a correction is one more of them. */
export type ShiftItem = {
  readonly id: string;
  /** Null for an entry made while no shift was open on the rig. */
  readonly shift: string | null;
  readonly rig: string;
  readonly atMs: number;
  readonly by: string;
  readonly role: string;
} & ShiftItemBody;

export type ShiftItemBody =
  | { readonly kind: 'handover'; readonly to: string; readonly text: string }
  /** `placedAtMs`: the instant on the trace it is about; `photo`: SHA-256 of its bytes. */
  | { readonly kind: 'note'; readonly text: string; readonly placedAtMs: number; readonly point: string | null; readonly photo: string | null }
  | { readonly kind: 'photo'; readonly photo: string; readonly mediaType: string; readonly size: number }
  | { readonly kind: 'setup'; readonly setup: ShiftSetup }
  /** `of` names a note, an entry or a field; `root` is the earlier seal's where the shift was sealed by then. */
  | { readonly kind: 'correction'; readonly of: string; readonly text: string; readonly root: string | null }
  | { readonly kind: 'entry'; readonly entry: EntryKind; readonly value: number | null; readonly unit: string | null; readonly second: number | null; readonly place: string; readonly text: string }
  | { readonly kind: 'hood-in' | 'hood-out'; readonly name: string };

interface LengthBounds {
  readonly what: string;
  /** Metres. */
  readonly low: number;
  readonly high: number;
}

const LENGTHS: Readonly<Record<'nozzleBore' | 'hoseBore' | 'hoseLength', LengthBounds>> = {
  nozzleBore: { what: 'nozzle bore', low: 0.002, high: 0.05 },
  hoseBore: { what: 'hose bore', low: 0.005, high: 0.2 },
  hoseLength: { what: 'hose length', low: 0.5, high: 500 },
};

/** Why a setup can't be: a length without a unit of length, or one that no rig has; null where it can. */
export function setupRefusal(setup: ShiftSetup): string | null {
  for (const name of ['nozzleBore', 'hoseBore', 'hoseLength'] as const) {
    const written = setup[name];
    if (written === null) continue;
    const { what, low, high } = LENGTHS[name];
    const unit: Unit | undefined = findUnit(written.unit, 'length');
    if (!unit) return `${what}: found the unit ${JSON.stringify(written.unit)}, expected one of length, e.g. [in_i] or mm`;
    const metres = toSi(written.value, unit);
    if (!(metres >= low && metres <= high)) return `${what}: found ${written.value} ${unit.symbol}, expected ${low} to ${high} m`;
  }
  return null;
}

/** A written length in metres; null where none is given. */
export function metresOf(written: WrittenLength | null): number | null {
  const unit = written && findUnit(written.unit, 'length');
  return written && unit ? toSi(written.value, unit) : null;
}
