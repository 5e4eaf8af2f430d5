import type { AlarmEvent, AlarmStep, AlarmTrack } from '../alarms/alarm-step.ts';
import { type BoundRule, type RuleOverride, bindRules, bindStateRules } from '../alarms/bind-rules.ts';
import { type Verdict, judge } from '../alarms/judge.ts';
import { nextAlarm } from '../alarms/next-alarm.ts';
import { STATE_TESTS } from '../alarms/state-tests/state-tests.ts';
import { suppressedBecause } from '../alarms/suppressed-because.ts';
import { ALARM_TABLE } from '../alarms/table.ts';
import { type PointKey, pointKey } from '../points/reading.ts';
import type { OwnerView } from './owner-view.ts';
import type { PointState } from './point-state.ts';
import { type SavedAlarm, type SiteAlarm, openAlarm, saveAlarm } from './site-alarm.ts';
import type { EffectsCollector } from './site-effects.ts';
import type { Timers } from './timers.ts';
import type { Owner } from './topology.ts';

const RANK = new Map(ALARM_TABLE.map((rule, index) => [`${rule.owner} ${rule.name}`, index]));
const NONE: readonly SiteAlarm[] = [];

/** The delay, the next look at a state, the end of the shelf, the return to service. */
const ALARM_TIMERS = ['alarm', 'look', 'shelf', 'service'] as const;
type AlarmTimer = (typeof ALARM_TIMERS)[number];

export function isAlarmTimer(kind: string): kind is AlarmTimer {
  return (ALARM_TIMERS as readonly string[]).includes(kind);
}

type Overrides = Readonly<Record<string, RuleOverride>>;

/** All alarms of a site. Steps are pure (`nextAlarm`); this keeps their tracks and timers and reports what moved. */
export class SiteAlarms {
  readonly #siteId: string;
  readonly #timers: Timers;
  readonly #overrides: Overrides;
  readonly #saved: ReadonlyMap<string, SavedAlarm>;
  readonly #byKey = new Map<string, SiteAlarm>();
  /** Alarms to judge when a point changes: those on it, and those whose test is prompted by it. */
  readonly #byPoint = new Map<PointKey, SiteAlarm[]>();
  readonly #byOwner = new Map<string, SiteAlarm[]>();
  readonly #tested = new Map<string, SiteAlarm[]>();

  /** Alarms found in `saved` take their tracks over. */
  constructor(siteId: string, timers: Timers, overrides: Overrides = {}, saved: ReadonlyMap<string, SavedAlarm> = new Map()) {
    this.#siteId = siteId;
    this.#timers = timers;
    this.#overrides = overrides;
    this.#saved = saved;
  }

  all(): IterableIterator<SiteAlarm> {
    return this.#byKey.values();
  }

  /** By key. */
  find(key: string): SiteAlarm | undefined {
    return this.#byKey.get(key);
  }

  /** The alarms that judge one point, those that test it among other things too. */
  on(key: PointKey): readonly SiteAlarm[] {
    return this.#byPoint.get(key) ?? NONE;
  }

  ofOwner(owner: string): readonly SiteAlarm[] {
    return this.#byOwner.get(owner) ?? NONE;
  }

  /** Gives a point that has appeared its alarms. */
  watchPoint(owner: Owner, view: OwnerView, point: PointState): void {
    for (const bound of bindRules(ALARM_TABLE, owner, point.kind.id, this.#overrides)) {
      const alarm = this.#add(bound, view, point);
      if (alarm) insert(this.#byPoint, point.key, alarm);
    }
  }

  /** Gives an owner those of its state rules whose points are all fitted by now. `isNew`: not as they were saved, whose timers came along. */
  watchStates(owner: Owner, view: OwnerView, isNew = true): void {
    for (const bound of bindStateRules(ALARM_TABLE, owner, (id) => isFitted(view, id), this.#overrides)) {
      const alarm = this.#add(bound, view, null);
      if (!alarm || bound.rule.condition.kind !== 'state') continue;
      const { prompt } = bound.rule.condition;
      const seers = owner.kind === 'compressor' ? [...owner.sees, ...owner.serves] : owner.sees;
      // What was told before the alarm was there has to be looked at once.
      if (prompt === 'told') {
        if (isNew) this.#timers.setIfSooner(`look ${bound.key}`, 0);
      } else if (prompt.length === 0) insert(this.#tested, owner.id, alarm);
      else for (const id of prompt) for (const seer of seers) insert(this.#byPoint, pointKey(seer, id), alarm);
    }
  }

  #add(bound: BoundRule, view: OwnerView, watched: PointState | null): SiteAlarm | null {
    if (this.#byKey.has(bound.key)) return null;
    const alarm = openAlarm(bound, view, watched, RANK.get(`${bound.rule.owner} ${bound.rule.name}`) ?? 0, this.#saved.get(bound.key));
    this.#byKey.set(bound.key, alarm);
    insert(this.#byOwner, bound.owner, alarm);
    return alarm;
  }

  /** Takes one event to one alarm, sets its timers anew, and notes the move, if any. */
  step(alarm: SiteAlarm, event: AlarmEvent, atMs: number, effects: EffectsCollector): AlarmStep {
    const { key, rule, owner, point, unit } = alarm.bound;
    const before = alarm.track;
    const result = nextAlarm(rule, before, event, atMs, () => `${this.#siteId}-${effects.seq}-${effects.nextN()}`);
    const { track, moved } = result;
    alarm.track = track;
    if (track.dueAtMs !== before.dueAtMs) this.#timers.set(`alarm ${key}`, track.dueAtMs);
    if (track.shelved !== before.shelved) this.#timers.set(`shelf ${key}`, track.shelved?.untilMs ?? null);
    if (track.outOfService !== before.outOfService) this.#timers.set(`service ${key}`, track.outOfService?.untilMs ?? null);
    if (moved) effects.transitions.push({ seq: effects.seq, n: effects.transitions.length, atMs, key, rule, owner, point, unit, ...moved });
    return result;
  }

  /** One of an alarm's timers fired; an alarm that a new configuration took away has none to move. */
  fire(timer: AlarmTimer, key: string, atMs: number, isOpen: (alarm: SiteAlarm) => boolean, effects: EffectsCollector): void {
    const alarm = this.#byKey.get(key);
    if (!alarm) return;
    if (timer === 'look') {
      alarm.againAtMs = null;
      this.judge(alarm, atMs, isOpen, effects);
    } else if (timer === 'alarm') {
      this.step(alarm, { kind: 'due', value: alarm.watched ? alarm.watched.value : alarm.value, limit: alarm.bound.limit }, atMs, effects);
    } else this.step(alarm, { kind: timer === 'shelf' ? 'unshelve-due' : 'in-service-due' }, atMs, effects);
  }

  /** Judges the alarms that a point's newest value may move. */
  judgePoint(key: PointKey, atMs: number, isOpen: (alarm: SiteAlarm) => boolean, effects: EffectsCollector): void {
    const alarms = this.#byPoint.get(key);
    if (alarms) for (const alarm of alarms) this.judge(alarm, atMs, isOpen, effects);
  }

  /** Judges an owner's alarms that are tested once a second. */
  judgeStates(owner: string, atMs: number, isOpen: (alarm: SiteAlarm) => boolean, effects: EffectsCollector): void {
    const alarms = this.#tested.get(owner);
    if (alarms) for (const alarm of alarms) this.judge(alarm, atMs, isOpen, effects);
  }

  /**
   * The verdict, then suppression, then the step. An alarm behind a closed gate is left frozen. What is released from suppression is
   * judged before: it must come back as what it is now, not as what it was.
   */
  judge(alarm: SiteAlarm, atMs: number, isOpen: (alarm: SiteAlarm) => boolean, effects: EffectsCollector): void {
    try {
      this.#judge(alarm, atMs, isOpen, effects);
    } catch (error) {
      effects.fail(`alarm ${alarm.bound.key}`, error);
    }
  }

  #judge(alarm: SiteAlarm, atMs: number, isOpen: (alarm: SiteAlarm) => boolean, effects: EffectsCollector): void {
    const { rule } = alarm.bound;
    alarm.view.atMs = atMs;
    const verdict = rule.gate === 'always' || isOpen(alarm) ? this.#verdict(alarm) : null;
    // Most readings find a quiet alarm quiet: that costs nothing, and whether it is suppressed does not matter before it is raised.
    if (verdict !== 'alarm' && isQuiet(alarm.track)) return;
    const because = rule.suppressedWhile.length === 0 ? null : suppressedBecause(rule.suppressedWhile, alarm.view);
    if (because !== null && because !== alarm.track.suppressed) this.step(alarm, { kind: 'suppress', because }, atMs, effects);
    if (verdict === null) {
      if (alarm.track.dueAtMs !== null) this.step(alarm, { kind: 'freeze' }, atMs, effects);
    } else {
      if (alarm.track.frozenMs !== null) this.step(alarm, { kind: 'thaw' }, atMs, effects);
      const isSettled = alarm.track.process === 'active' && verdict !== 'clear';
      if (!isSettled) this.step(alarm, { kind: 'judged', verdict, value: alarm.value, limit: alarm.bound.limit }, atMs, effects);
    }
    if (because === null && alarm.track.suppressed !== null) this.step(alarm, { kind: 'unsuppress', value: alarm.value, limit: alarm.bound.limit }, atMs, effects);
  }

  #verdict(alarm: SiteAlarm): Verdict {
    const { rule, limit } = alarm.bound;
    const { condition } = rule;
    if (condition.kind !== 'state') {
      const point = alarm.watched;
      if (!point) return 'hold';
      alarm.value = point.value;
      return judge(condition, limit, point.kind, point);
    }
    const { view } = alarm;
    view.limit = limit;
    view.point = alarm.bound.point;
    view.value = null;
    view.memory = alarm.memory;
    view.againAtMs = null;
    const verdict = STATE_TESTS[condition.test](view);
    alarm.memory = view.memory;
    alarm.value = view.value;
    if (view.againAtMs !== alarm.againAtMs) {
      alarm.againAtMs = view.againAtMs;
      this.#timers.set(`look ${alarm.bound.key}`, view.againAtMs);
    }
    return verdict;
  }

  /** The alarm whose standing occurrence has this id, or that has this key. */
  findOccurrence(id: string): SiteAlarm | undefined {
    for (const alarm of this.#byKey.values()) if (alarm.track.occurrence?.id === id) return alarm;
    return this.#byKey.get(id);
  }

  /** By key: a state that was saved and loaded on the way saves the same as one that was not, though its alarms came in another order. */
  save(): [string, SavedAlarm][] {
    const saved = [...this.#byKey].flatMap(([key, alarm]): [string, SavedAlarm][] => ((one) => (one ? [[key, one]] : []))(saveAlarm(alarm)));
    return saved.sort(([a], [b]) => (a < b ? -1 : 1));
  }
}

function isQuiet({ process, occurrence, suppressed, frozenMs }: AlarmTrack): boolean {
  return process === 'clear' && occurrence === null && suppressed === null && frozenMs === null;
}

function isFitted(view: OwnerView, id: string): boolean {
  return view.see(id) !== undefined;
}

/** Keeps a list in the table's order, so that it does not matter when its alarms came. */
function insert<K>(lists: Map<K, SiteAlarm[]>, key: K, alarm: SiteAlarm): void {
  const list = lists.get(key) ?? [];
  if (list.includes(alarm)) return;
  lists.set(key, [...list, alarm].sort((a, b) => a.rank - b.rank || (a.bound.key < b.bound.key ? -1 : 1)));
}
