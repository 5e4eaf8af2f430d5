import type { AlarmPath } from '../alarms/situation.ts';
import type { Reading } from '../points/reading.ts';
import type { RigAction } from '../shift/next-situation.ts';
import type { ShiftAction } from '../shift/next-shifts.ts';
import type { ReadyAction } from '../shift/readiness/readiness.ts';
import type { DrillAction } from '../shift/drill.ts';
import type { SiteConfig } from '../shift/site-config.ts';

/**
 * The ordered log of one site. Its fold is the site's state: the same log gives the same alarms, byte for byte.
 * `seq` counts from 1 without gaps; `atMs` is log time, Unix ms, and never goes backwards.
 */
interface Entry {
  readonly seq: number;
  readonly atMs: number;
}

export interface BatchEntry extends Entry {
  readonly kind: 'batch';
  /** `<gateway>/<epoch>`: whose sequence the readings carry. Empty in entries recorded before it was kept. */
  readonly origin: string;
  readonly readings: readonly LoggedReading[];
}

/** `late` readings are history: recorded and marked, never judged live. The mark is stored, so a replay agrees. */
export interface LoggedReading extends Reading {
  readonly late: boolean;
  /** Place in the gateway's outbox, from 1 without gaps: what its hash chain counts. 0 where it was not kept. */
  readonly sequence: number;
}

export interface ActionEntry extends Entry {
  readonly kind: 'action';
  readonly action: Action;
}

export interface ConfigEntry extends Entry {
  readonly kind: 'config';
  /** The hash of the file; behind a `+` the proposal that changes it. */
  readonly version: string;
  readonly config: SiteConfig;
  /** Who put a proposal into force, and why; missing where the file was read. */
  readonly by?: string;
  readonly why?: string;
}

/** The wall clock jumped against the monotonic clock. */
export interface ClockEntry extends Entry {
  readonly kind: 'clock';
  readonly jumpMs: number;
}

/** Time passed with something due and nothing else to log. */
export interface TickEntry extends Entry {
  readonly kind: 'tick';
}

/** From `fromMs` until now the program did not run, or not on: nothing was heard, so silence in it says nothing. */
export interface UnheardEntry extends Entry {
  readonly kind: 'unheard';
  readonly fromMs: number;
}

/** An entry that could not be folded or stored as what it is. Kept as it came, for a person to look at; it changes nothing. */
export interface QuarantineEntry extends Entry {
  readonly kind: 'quarantine';
  /** What it would have been, e.g. `action`. */
  readonly what: string;
  readonly reason: string;
  /** Its content as JSON. */
  readonly held: string;
}

/** What a second look at late readings found, once a backlog is in: told, never sounded. */
export interface FoundEntry extends Entry {
  readonly kind: 'found';
  /** The last entry with late readings that was looked at. */
  readonly throughSeq: number;
  readonly findings: readonly Finding[];
}

/** An excursion that nobody was told of while it lasted. */
export interface Finding {
  readonly name: string;
  readonly title: string;
  readonly owner: string;
  readonly point: string;
  readonly fromMs: number;
  /** Null where it had not ended with what was known. */
  readonly toMs: number | null;
  /** The worst value, in `unit`. */
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: string;
}

export type LogEntry = BatchEntry | ActionEntry | ConfigEntry | ClockEntry | TickEntry | UnheardEntry | QuarantineEntry | FoundEntry;

/** What a person does to an alarm, named by its occurrence's id, or by its key where it is quiet. */
export type AlarmAction =
  | { readonly kind: 'acknowledge'; readonly alarm: string; /** True from a device at the rig: only that silences the rig. */ readonly atRig: boolean }
  | { readonly kind: 'reset' | 'confirm-out' | 'unshelve' | 'in-service'; readonly alarm: string }
  | { readonly kind: 'shelve'; readonly alarm: string; readonly reason: string; readonly text: string; readonly untilMs: number }
  | { readonly kind: 'out-of-service'; readonly alarm: string; readonly approvedBy: string; readonly text: string; readonly untilMs: number };

/** What people tell of a rig, and do in its check. */
/** What is told of the whole site. */
export type SiteSaid =
  /** A way on which alarms reach people died or lives again; told by what watches it. */
  | { readonly kind: 'alarm-path'; readonly path: AlarmPath; readonly isDead: boolean; readonly detail: string }
  | DrillAction;

export type RigSaid = RigAction | ReadyAction;

/** What a person did. `key` makes a repeated request harmless; `from` says where it came from. */
interface ActionBase {
  readonly key: string;
  readonly by: string;
  readonly role: string;
  readonly from: string;
}

export type Action = ActionBase &
  (
    | AlarmAction
    | RigSaid
    | SiteSaid
    | ShiftAction
    /** A shift's readings are kept from being erased, or no longer: a matter of the record, which changes nothing of the site's state. */
    | { readonly kind: 'hold-record'; readonly shift: string; readonly isHeld: boolean; readonly reason: string }
    /** Readings whose time to be kept was over were erased. */
    | { readonly kind: 'erase-readings'; readonly text: string; readonly beforeMs: number; readonly samples: number }
  );
