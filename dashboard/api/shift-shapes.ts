/** Shifts as the server tells them. Instants are RFC 3339, UTC. */

export interface Quantity {
  readonly value: number;
  /** UCUM code. */
  readonly unit: string;
}

export type ShiftState = 'open' | 'ended' | 'signed-once' | 'sealed';

/** What every list and picture of a shift needs. */
export interface ShiftHead {
  readonly id: string;
  readonly site: string;
  readonly rig: string;
  readonly state: ShiftState;
  readonly startedAt: string;
  readonly startedBy: string;
  readonly endedAt: string | null;
  readonly endedBy: string | null;
  readonly drill: boolean;
  readonly replay: boolean;
  readonly signOffs: readonly SignOff[];
}

/** Reckoned once when a shift ends; null where it is still running, or where nothing could be said. */
export interface ShiftHeadline {
  readonly blastingMs: number | null;
  readonly nozzleMedian: Quantity | null;
  readonly coMax: Quantity | null;
  readonly audibleAlarms: number | null;
  readonly criticalAlarms: number | null;
  /** 0 to 1. */
  readonly coverage: number | null;
  readonly lostProduction: number | null;
  readonly boreStart: Quantity | null;
  readonly boreEnd: Quantity | null;
}

export interface ShiftCard extends ShiftHead {
  readonly headline: ShiftHeadline | null;
}

export interface ShiftPage {
  readonly items: readonly ShiftCard[];
  readonly next: string | null;
}

export interface CrewMember {
  readonly name: string;
  readonly job: string;
}

export const SETUP_QUANTITIES = ['nozzleBore', 'hoseBore', 'hoseLength'] as const;
export const SETUP_TEXTS = ['compressor', 'respirator', 'breathingFilter', 'abrasive', 'notes'] as const;
export type SetupQuantity = (typeof SETUP_QUANTITIES)[number];
export type SetupText = (typeof SETUP_TEXTS)[number];
export type ShiftSetup = Readonly<Partial<Record<SetupQuantity, Quantity | null>>> & Readonly<Partial<Record<SetupText, string>>>;

export interface Calibration {
  readonly point: string;
  readonly certificate: string;
  /** Calendar days, or instants. */
  readonly done: string;
  readonly due: string;
}

export interface Handover {
  readonly at: string;
  readonly by: string;
  readonly to: string;
  readonly text: string;
}

export interface ShiftNote {
  readonly id: string;
  readonly at: string;
  readonly by: string;
  readonly text: string;
  /** Where it stands on the trace. */
  readonly placedAt: string;
  readonly point: string | null;
  /** Id of its photo. */
  readonly photo: string | null;
}

export interface Correction {
  readonly at: string;
  readonly by: string;
  /** Id of the note or entry, or name of the field, that it is about. */
  readonly of: string;
  readonly text: string;
}

export const MEANINGS = ['checked and complete', 'approved'] as const;
export type Meaning = (typeof MEANINGS)[number];

export interface SignOff {
  readonly at: string;
  readonly name: string;
  readonly role: string;
  readonly meaning: string;
}

export interface Seal {
  /** Root of the shift's hash tree, hex. */
  readonly root: string;
  readonly at: string;
  /** Fingerprint of the key that signed it. */
  readonly key: string;
}

export interface Shift extends ShiftHead {
  readonly crew: readonly CrewMember[];
  readonly setup: ShiftSetup;
  readonly calibrations: readonly Calibration[];
  readonly handovers: readonly Handover[];
  readonly notes: readonly ShiftNote[];
  readonly corrections: readonly Correction[];
  readonly seal: Seal | null;
}

/** Told by hand at the rig. */
export interface HandEntry {
  readonly id: string;
  readonly at: string;
  readonly by: string;
  readonly kind: string;
  readonly value: number | null;
  readonly unit: string | null;
  readonly place: string;
  readonly text: string;
}
