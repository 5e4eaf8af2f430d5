import type { SensorCheck } from '../points/sensor-check.ts';

/** What a person typed in: a reading by hand, a test done, a change made. */
export const ENTRY_KINDS = [
  'needle',
  'blotter',
  'spot',
  'plug-gauge',
  'pot-filled',
  'pot-open',
  'pot-closed',
  'bump-done',
  'calibration-done',
  'filter-changed',
  'stop-announced',
  'wet-dry-bulb',
  'abrasive-lot',
  'stopped',
  'resumed',
  'area-done',
  'permit',
  'respirator-fit',
  'air-sampling',
] as const;
export type EntryKind = (typeof ENTRY_KINDS)[number];

export interface Entry {
  readonly atMs: number;
  readonly by: string;
  /** In the unit of its kind (`domain/shift/entry-kind.ts`). */
  readonly value: number | null;
  /** When it is due again, where a record says so; else the rule's own interval counts. */
  readonly dueAtMs?: number;
}

/** When what was done is due again, Unix ms; `everyH` is the rule's own interval, h. */
export function dueAgainAtMs(entry: Entry, everyH: number): number {
  return entry.dueAtMs ?? entry.atMs + everyH * 3_600_000;
}

/** Somebody logged as breathing from a rig's panel. */
export interface UnderHood {
  readonly name: string;
  readonly sinceMs: number;
}

/** What the line read while a needle reading was taken: later losses are told against it. */
export interface LineBaseline {
  readonly atMs: number;
  /** psi, loss beyond the expected. */
  readonly residual: number;
  /** psi, compressor to blast machine; null where it is not measured. */
  readonly supplyLoss: number | null;
  /** cfm through the nozzle. */
  readonly flow: number | null;
  /** cfm measured over cfm computed; null where no meter belongs to this rig alone. */
  readonly flowRatio: number | null;
}

/** A needle reading behind the nozzle of this shift and setup, with what the blast machine showed at that moment; psi gauge. */
export interface NeedleReading {
  readonly atMs: number;
  readonly nozzle: number;
  readonly supply: number | null;
}

/** What is known of a rig beside its sensors: people, modes and entries. */
export interface Situation {
  readonly shiftSinceMs: number | null;
  readonly underHood: readonly UnderHood[];
  /** True once somebody was logged in on this shift: only then does an empty list mean that nobody is. */
  readonly isHoodLogUsed: boolean;
  readonly bumpTestUntilMs: number | null;
  readonly stopAnnouncedUntilMs: number | null;
  readonly isPotOpen: boolean;
  /** Since when the line has had pressure on this shift. */
  readonly pressurisedSinceMs: number | null;
  readonly lastBlastingMs: number | null;
  readonly baseline: LineBaseline | null;
  readonly needle: NeedleReading | null;
  readonly entries: Readonly<Partial<Record<EntryKind, Entry>>>;
  /** Calibrations and bump tests, the last few of each point, in the order in which they were done. */
  readonly checks: readonly SensorCheck[];
}

export const NO_SITUATION: Situation = {
  shiftSinceMs: null,
  underHood: [],
  isHoodLogUsed: false,
  bumpTestUntilMs: null,
  stopAnnouncedUntilMs: null,
  isPotOpen: false,
  pressurisedSinceMs: null,
  lastBlastingMs: null,
  baseline: null,
  needle: null,
  entries: {},
  checks: [],
};

/** Ways on which an alarm reaches a person, and since when one has been dead; told to the log by what watches them. */
export type AlarmPath = 'beacon' | 'recording' | 'telling' | 'outbox' | 'certificate' | 'set-aside';

/** A made-up course of events under way on a training site. */
export interface RunningDrill {
  readonly scenario: string;
  readonly seed: number;
  readonly speed: number;
  readonly startedAtMs: number;
  readonly startedBy: string;
}

export interface SiteSituation {
  readonly deadPaths: Readonly<Partial<Record<AlarmPath, { readonly sinceMs: number }>>>;
  /** Last jump of the wall clock against log time. */
  readonly clockJump: { readonly atMs: number; readonly ms: number } | null;
  /** What could last not be judged, and when it was last told of each; null where everything could. */
  readonly notJudged: { readonly atMs: number; readonly told: Readonly<Record<string, number>> } | null;
  /** Null where none is under way, as on every site that is not for training. */
  readonly drill: RunningDrill | null;
}

export const NO_SITE_SITUATION: SiteSituation = { deadPaths: {}, clockJump: null, notJudged: null, drill: null };
