import type { AlarmOccurrence, AlarmPriority } from '../alarms/alarm.ts';
import { type AlarmRecord, alarmMetrics } from '../alarms/metrics.ts';
import type { AlarmOverride, SiteConfig } from '../shift/site-config.ts';
import type { AlarmTransition } from './site-effects.ts';
import type { LogEntry } from './log.ts';
import { SiteEvaluator } from './site-evaluator.ts';
import type { SiteSnapshot } from './site-snapshot.ts';

export type AlarmChanges = Readonly<Record<string, AlarmOverride>>;

/** One occurrence as a recomputation raised it. */
export interface JudgedAlarm {
  readonly name: string;
  /** Rig, compressor or site. */
  readonly rig: string;
  readonly point: string;
  readonly priority: AlarmPriority;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  /** People were called; false for what came and went while it was set aside. */
  readonly audible: boolean;
}

/** What a stretch of the log comes to under some settings. */
export interface Judged {
  readonly alarms: readonly JudgedAlarm[];
  readonly counts: { readonly total: number; readonly audible: number } & Readonly<Record<AlarmPriority, number>>;
  /** Calls in the busiest ten minutes. */
  readonly perTenMinutes: number;
  /** Alarms that called three times within a minute. */
  readonly chattering: number;
}

/** A site's configuration with some alarm settings changed; what a change does not name stays. */
export function withAlarmChanges(config: SiteConfig, changes: AlarmChanges): SiteConfig {
  const alarms: Record<string, AlarmOverride> = { ...config.alarms };
  for (const [name, change] of Object.entries(changes)) alarms[name] = { ...alarms[name], ...change };
  return { ...config, alarms };
}

/**
 * Folds recorded entries again under changed alarm settings. Times, order and places in the log stay as recorded; what people did to an
 * alarm is done again to the same alarm of the same point, if it stands here. Nothing is written anywhere.
 */
export class Recomputation {
  readonly #evaluator: SiteEvaluator;
  readonly #changes: AlarmChanges;
  readonly #occurrences = new Map<string, { owner: string; point: string; name: string; priority: AlarmPriority; occurrence: AlarmOccurrence }>();
  readonly #moves: AlarmRecord[] = [];

  /** `start` is the state before the first entry; it is not changed. */
  constructor(start: SiteSnapshot, changes: AlarmChanges) {
    const own = structuredClone(start);
    this.#changes = changes;
    this.#evaluator = SiteEvaluator.load({ ...own, config: own.config && withAlarmChanges(own.config, changes) });
    for (const { bound, track } of this.#evaluator.alarms()) {
      if (track.occurrence) this.#occurrences.set(track.occurrence.id, { owner: bound.owner, point: bound.point, name: bound.rule.name, priority: bound.rule.priority, occurrence: track.occurrence });
    }
  }

  /** The next recorded entry; `keyOf` names the alarm (`<name>@<owner>/<point>`) that an occurrence had in the record. */
  take(entry: LogEntry, keyOf: (occurrence: string) => string | null): void {
    for (const move of this.#evaluator.apply(this.#asHere(entry, keyOf)).transitions) this.#note(move);
  }

  /** What it comes to in a stretch, for some owners: alarms that stood in it, and calls in it. */
  judged(fromMs: number, toMs: number, owners: readonly string[]): Judged {
    const alarms = [...this.#occurrences.values()]
      .filter(({ owner, occurrence }) => owners.includes(owner) && occurrence.raisedAtMs <= toMs && (occurrence.clearedAtMs ?? toMs) >= fromMs)
      .map(({ owner, point, name, priority, occurrence }): JudgedAlarm => ({ name, rig: owner, point, priority, raisedAtMs: occurrence.raisedAtMs, clearedAtMs: occurrence.clearedAtMs, audible: occurrence.announced }))
      .sort((a, b) => a.raisedAtMs - b.raisedAtMs || (a.name < b.name ? -1 : 1));
    const metrics = alarmMetrics(this.#moves.filter(({ owner }) => owners.includes(owner)), fromMs, toMs + 1, this.#evaluator.config?.flood);
    const of = (priority: AlarmPriority): number => alarms.filter((alarm) => alarm.priority === priority).length;
    return {
      alarms,
      counts: { total: alarms.length, audible: alarms.filter(({ audible }) => audible).length, critical: of('critical'), high: of('high'), medium: of('medium'), low: of('low') },
      perTenMinutes: metrics.peakTenMin,
      chattering: metrics.chattering.length,
    };
  }

  #asHere(entry: LogEntry, keyOf: (occurrence: string) => string | null): LogEntry {
    if (entry.kind === 'config') return { ...entry, config: withAlarmChanges(entry.config, this.#changes) };
    if (entry.kind !== 'action' || !('alarm' in entry.action)) return entry;
    return { ...entry, action: { ...entry.action, alarm: keyOf(entry.action.alarm) ?? entry.action.alarm } };
  }

  #note({ atMs, owner, point, rule, what, from, occurrence }: AlarmTransition): void {
    const { name, priority } = rule;
    this.#occurrences.set(occurrence.id, { owner, point, name, priority, occurrence });
    this.#moves.push({ atMs, id: occurrence.id, name, owner, point, priority, what, from, to: occurrence.state });
  }
}

/** Several stretches as one: alarms and counts together, the busiest ten minutes of any. */
export function together(parts: readonly Judged[]): Judged {
  const sum = (of: (part: Judged) => number): number => parts.reduce((total, part) => total + of(part), 0);
  const count = (name: keyof Judged['counts']): number => sum(({ counts }) => counts[name]);
  return {
    alarms: parts.flatMap(({ alarms }) => alarms),
    counts: { total: count('total'), audible: count('audible'), critical: count('critical'), high: count('high'), medium: count('medium'), low: count('low') },
    perTenMinutes: Math.max(0, ...parts.map(({ perTenMinutes }) => perTenMinutes)),
    chattering: sum(({ chattering }) => chattering),
  };
}
