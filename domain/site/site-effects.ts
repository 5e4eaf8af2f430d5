import type { AlarmHappening } from '../alarms/alarm-step.ts';
import type { AlarmOccurrence, AlarmState } from '../alarms/alarm.ts';
import type { AlarmRule } from '../alarms/rule.ts';
import type { Shift, ShiftItem } from '../shift/shift.ts';
import type { PointKey, Quality, QualityReason } from '../points/reading.ts';

/** What one log entry brought about. All of it is committed in one transaction with the entry. */
export interface Effects {
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
  /** Why the action of this entry was refused; null where it was done or the entry is no action. */
  readonly refusal: string | null;
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
  refusal: string | null = null;
  shift: Shift | null = null;
  readonly items: ShiftItem[] = [];
  readonly seq: number;
  #ids = 0;

  constructor(seq: number) {
    this.seq = seq;
  }

  /** The next number within this entry, from which deterministic ids are made. */
  nextN(): number {
    this.#ids += 1;
    return this.#ids;
  }
}
