import { type BoundRule, bindRules } from '../alarms/bind-rules.ts';
import { judge } from '../alarms/judge.ts';
import { type AlarmEvent, type AlarmStep, type AlarmTrack, CLEAR, nextAlarm } from '../alarms/next-alarm.ts';
import { ALARM_TABLE } from '../alarms/table.ts';
import type { PointKey } from '../points/reading.ts';
import type { RuleOverride } from '../alarms/bind-rules.ts';
import type { EffectsCollector } from './site-effects.ts';
import type { PointState } from './point-state.ts';
import type { Owner } from './topology.ts';

/** One alarm of the site: the rule where it applies, and where it stands. */
export interface SiteAlarm {
  bound: BoundRule;
  track: AlarmTrack;
}

/** All alarms of a site. Steps are pure (`nextAlarm`); this keeps their tracks and reports what moved. */
export class SiteAlarms {
  readonly #siteId: string;
  readonly #byKey = new Map<string, SiteAlarm>();
  readonly #byPoint = new Map<PointKey, SiteAlarm[]>();

  constructor(siteId: string) {
    this.#siteId = siteId;
  }

  all(): IterableIterator<SiteAlarm> {
    return this.#byKey.values();
  }

  find(key: string): SiteAlarm | undefined {
    return this.#byKey.get(key);
  }

  /** The alarms on one point. */
  on(key: PointKey): readonly SiteAlarm[] {
    return this.#byPoint.get(key) ?? [];
  }

  /** Gives a point its alarms; called once when the point appears. Tracks found in a snapshot are taken over. */
  watch(owner: Owner, point: PointState, overrides: Readonly<Record<string, RuleOverride>>, saved?: ReadonlyMap<string, AlarmTrack>): void {
    if (this.#byPoint.has(point.key)) return;
    const rules = bindRules(ALARM_TABLE, owner, point.kind.id, overrides).filter((b) => point.kind.origin === 'measured' || b.rule.point !== 'every-measured');
    const alarms = rules.map((bound) => ({ bound, track: saved?.get(bound.key) ?? CLEAR }));
    this.#byPoint.set(point.key, alarms);
    for (const alarm of alarms) this.#byKey.set(alarm.bound.key, alarm);
  }

  /** Takes one event to one alarm and notes the move, if any. */
  step(alarm: SiteAlarm, event: AlarmEvent, atMs: number, effects: EffectsCollector): AlarmStep {
    const { rule } = alarm.bound;
    const result = nextAlarm(rule, alarm.track, event, atMs, () => `${this.#siteId}-${effects.seq}-${effects.nextN()}`);
    alarm.track = result.track;
    if (result.moved) {
      const { from, occurrence, by } = result.moved;
      const { key, owner, point } = alarm.bound;
      effects.transitions.push({ seq: effects.seq, n: effects.transitions.length, atMs, key, rule, owner, point, from, occurrence, by });
    }
    return result;
  }

  /** Judges a point's newest value against each of its alarms; those behind a closed gate are left frozen. */
  judgePoint(point: PointState, isOpen: (alarm: SiteAlarm) => boolean, atMs: number, effects: EffectsCollector): void {
    for (const alarm of this.on(point.key)) {
      if (!isOpen(alarm)) {
        this.step(alarm, { kind: 'freeze' }, atMs, effects);
        continue;
      }
      this.step(alarm, { kind: 'thaw' }, atMs, effects);
      const { rule, limit } = alarm.bound;
      const verdict = judge(rule.condition, limit, point.kind, point);
      this.step(alarm, { kind: 'judged', verdict, value: point.value, limit }, atMs, effects);
    }
  }

  /** The alarm whose standing occurrence has this id. */
  findOccurrence(id: string): SiteAlarm | undefined {
    for (const alarm of this.#byKey.values()) if (alarm.track.occurrence?.id === id) return alarm;
    return undefined;
  }

  /** Alarms that stand, and tracks with a delay running: what a snapshot must hold. */
  savedTracks(): [string, AlarmTrack][] {
    return [...this.#byKey.entries()].filter(([, alarm]) => alarm.track !== CLEAR).map(([key, alarm]) => [key, alarm.track]);
  }
}
