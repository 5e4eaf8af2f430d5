import type { AlarmHappening } from '../alarms/alarm-step.ts';
import type { AlarmOccurrence, AlarmState } from '../alarms/alarm.ts';
import type { AlarmRule } from '../alarms/rule.ts';
import type { Shift, ShiftItem } from '../shift/shift.ts';
import type { QuarantineEntry } from './log.ts';
import type { PointKey, Quality, QualityReason } from '../points/reading.ts';

/** What one log entry brought about. All of it is committed in one transaction with the entry. */
export interface Effects {
  /** True on a training site: nothing of this happened for real, and the record says so. */
  readonly isDrill: boolean;
  readonly transitions: readonly AlarmTransition[];
  readonly computed: readonly ComputedValue[];
  /** Points whose live state changed, to be pushed. */
  readonly changed: ReadonlySet<PointKey>;
  /** True where what the site looks like changed: setup or shifts. */
  readonly siteChanged: boolean;
  /** True where a flood began, ended or grew, or an alarm began or ceased to chatter. */
  readonly floodChanged: boolean;
  /** Alarm settings that a new configuration changed; null stands for the shipped value. */
  readonly settings: readonly SettingChange[];
  /** What could not be evaluated and was set aside, each told once in ten minutes. */
  readonly failures: readonly Failure[];
  /** Why the action of this entry was refused; null where it was done or the entry is no action. */
  readonly refusal: string | null;
  /** What the sensors showed when a step of the check was signed. */
  readonly evidence: readonly string[];
  /** The shift that the action changed, as it stands now; null otherwise. */
  readonly shift: Shift | null;
  /** What the action added to a shift: notes, entries, corrections. */
  readonly items: readonly ShiftItem[];
}

/** A move of one alarm. `seq` and `n` order it within the site. */
export interface AlarmTransition {
  readonly seq: number;
  readonly n: number;
  readonly atMs: number;
  readonly key: string;
  readonly what: AlarmHappening;
  readonly rule: AlarmRule;
  readonly owner: string;
  readonly point: string;
  /** UCUM code of the occurrence's value and limit. */
  readonly unit: string;
  readonly from: AlarmState;
  readonly occurrence: AlarmOccurrence;
  readonly by: string | null;
}

/** Something that made the evaluation fail: a reading, a timer, an alarm or a whole entry. */
export interface Failure {
  /** E.g. `reading rig-a/pot-pressure` or `alarm co-high@rig-a/breathing-air-co`. */
  readonly what: string;
  readonly reason: string;
}

/** One setting, e.g. `co-high limit`, before and after. */
export interface SettingChange {
  readonly setting: string;
  readonly old: string | number | boolean | null;
  readonly new: string | number | boolean | null;
}

export interface ComputedValue {
  readonly owner: string;
  readonly point: string;
  readonly atMs: number;
  readonly value: number | null;
  readonly quality: Quality;
  readonly reason: QualityReason | null;
}

/** Collects the effects of one entry while the evaluator works through it. */
export class EffectsCollector implements Effects {
  readonly transitions: AlarmTransition[] = [];
  readonly computed: ComputedValue[] = [];
  readonly changed = new Set<PointKey>();
  siteChanged = false;
  floodChanged = false;
  settings: readonly SettingChange[] = [];
  failures: readonly Failure[] = [];
  refusal: string | null = null;
  evidence: readonly string[] = [];
  shift: Shift | null = null;
  readonly items: ShiftItem[] = [];
  readonly seq: number;
  readonly isDrill: boolean;
  #ids = 0;

  constructor(seq: number, isDrill = false) {
    this.seq = seq;
    this.isDrill = isDrill;
  }

  /** Sets one thing aside, so that it does not stop the rest. */
  fail(what: string, error: unknown): void {
    this.failures = [...this.failures, { what, reason: error instanceof Error ? error.message : String(error) }];
  }

  /** A whole entry that was set aside; a person who asked for it is told. */
  quarantine({ what, reason }: QuarantineEntry): void {
    this.fail(`entry ${what}`, reason);
    if (what === 'action') this.refusal = 'it could not be done and was set aside; the journal says why';
  }

  /** The next number within this entry, from which deterministic ids are made. */
  nextN(): number {
    this.#ids += 1;
    return this.#ids;
  }
}
