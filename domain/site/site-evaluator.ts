import type { PointKey } from '../points/reading.ts';
import { pointKey } from '../points/reading.ts';
import { findPointKind } from '../points/catalogue.ts';
import type { SiteConfig } from '../shift/site-config.ts';
import { nextShifts, type Shift } from '../shift/next-shifts.ts';
import { computeOwner } from './compute-owner.ts';
import type { Action, LogEntry, LoggedReading } from './log.ts';
import { type PointState, takeReading, unseenPoint } from './point-state.ts';
import { SiteAlarms, type SiteAlarm } from './site-alarms.ts';
import { type Effects, EffectsCollector } from './site-effects.ts';
import { EVALUATOR_VERSION, type SiteSnapshot, loadPoints, saveSite } from './site-snapshot.ts';
import { Timers } from './timers.ts';
import { type Owner, type Topology, layOut } from './topology.ts';

/** Computed points are worked out once a second a rig, on the second. */
const COMPUTE_GRID_MS = 1000;

/**
 * The fold of a site's log. `apply` takes one entry and answers with its effects; the state is owned here and changed in place,
 * so a failed commit means throwing this away and loading the last snapshot. No clock, no I/O: the same log gives the same effects.
 */
export class SiteEvaluator {
  readonly #siteId: string;
  #config: SiteConfig | null = null;
  #topology: Topology | null = null;
  #configVersion: string | null = null;
  #seq = 0;
  #atMs = 0;
  #points = new Map<PointKey, PointState>();
  /** Owner → point id → state, as that owner sees it; filled as it is asked for, emptied when a point appears. */
  #seen = new Map<string, Map<string, PointState | null>>();
  #alarms: SiteAlarms;
  #shifts: readonly Shift[] = [];
  #timers = new Timers();
  /** Rig → since when its nozzle has been under flow; absent while it is not. */
  #blastingSince = new Map<string, number>();

  constructor(siteId: string) {
    this.#siteId = siteId;
    this.#alarms = new SiteAlarms(siteId);
  }

  static load(snapshot: SiteSnapshot): SiteEvaluator {
    const evaluator = new SiteEvaluator(snapshot.site);
    evaluator.#seq = snapshot.seq;
    evaluator.#atMs = snapshot.atMs;
    evaluator.#shifts = snapshot.shifts;
    evaluator.#blastingSince = new Map(snapshot.blastingSince);
    evaluator.#timers = Timers.load(snapshot.timers);
    evaluator.#points = loadPoints(snapshot);
    if (snapshot.config) evaluator.#adopt(snapshot.config, snapshot.configVersion, new Map(snapshot.tracks));
    return evaluator;
  }

  save(): SiteSnapshot {
    return saveSite({
      version: EVALUATOR_VERSION,
      site: this.#siteId,
      seq: this.#seq,
      atMs: this.#atMs,
      config: this.#config,
      configVersion: this.#configVersion,
      points: this.#points,
      tracks: this.#alarms.savedTracks(),
      shifts: this.#shifts,
      blastingSince: [...this.#blastingSince],
      timers: this.#timers.save(),
    });
  }

  get seq(): number {
    return this.#seq;
  }
  get atMs(): number {
    return this.#atMs;
  }
  get config(): SiteConfig | null {
    return this.#config;
  }
  get configVersion(): string | null {
    return this.#configVersion;
  }
  get topology(): Topology | null {
    return this.#topology;
  }
  get shifts(): readonly Shift[] {
    return this.#shifts;
  }
  points(): IterableIterator<PointState> {
    return this.#points.values();
  }
  point(owner: string, id: string): PointState | undefined {
    return this.#points.get(pointKey(owner, id));
  }
  alarms(): IterableIterator<SiteAlarm> {
    return this.#alarms.all();
  }
  alarmsOn(key: PointKey): readonly SiteAlarm[] {
    return this.#alarms.on(key);
  }
  /** When something falls due next without an entry; Infinity when nothing does. */
  get nextDueAtMs(): number {
    return this.#timers.nextAtMs;
  }

  apply(entry: LogEntry): Effects {
    if (entry.seq !== this.#seq + 1) throw new Error(`site ${this.#siteId}: log entry ${entry.seq} after ${this.#seq}`);
    const effects = new EffectsCollector(entry.seq);
    const atMs = Math.max(this.#atMs, entry.atMs);
    if (entry.kind === 'batch') for (const reading of entry.readings) this.#take(reading, atMs, effects);
    this.#runTimers(atMs, effects);
    this.#atMs = atMs;
    if (entry.kind === 'config') this.#configure(entry.config, entry.version, effects);
    if (entry.kind === 'action') this.#act(entry.action, effects);
    this.#seq = entry.seq;
    return effects;
  }

  /** A live reading is judged at the time the gateway received it, after whatever fell due before. */
  #take(reading: LoggedReading, entryAtMs: number, effects: EffectsCollector): void {
    if (reading.late) return;
    const owner = this.#topology?.owners.get(reading.owner);
    if (!owner || findPointKind(reading.point)?.owner !== owner.kind) return;
    const atMs = Math.min(entryAtMs, Math.max(this.#atMs, reading.receivedAtMs));
    this.#runTimers(atMs, effects);
    this.#atMs = atMs;
    const seen = this.#see(owner, reading.point);
    const point = seen?.owner === owner.id ? seen : this.#appear(owner, reading.point, null, atMs);
    const wasStale = point.staleAtMs === null;
    takeReading(point, reading, atMs);
    if (wasStale) this.#timers.set(`stale ${point.key}`, point.staleAtMs);
    this.#changed(point, atMs, effects);
    this.#computeDependents(owner.id, Math.floor(atMs / COMPUTE_GRID_MS + 1) * COMPUTE_GRID_MS);
  }

  #runTimers(untilMs: number, effects: EffectsCollector): void {
    for (let due = this.#timers.take(untilMs); due; due = this.#timers.take(untilMs)) {
      this.#atMs = Math.max(this.#atMs, due.atMs);
      this.#fire(due.id, this.#atMs, effects);
    }
  }

  #fire(id: string, atMs: number, effects: EffectsCollector): void {
    const [kind = '', name = ''] = id.split(' ');
    if (kind === 'stale') this.#goStale(name as PointKey, atMs, effects);
    else if (kind === 'alarm') this.#alarmDue(name, atMs, effects);
    else if (kind === 'compute') this.#compute(name, atMs, effects);
    else if (kind === 'gate') this.#judgeGated(name, atMs, effects);
    else throw new Error(`unknown timer ${id}`);
  }

  #computeDependents(ownerId: string, atMs: number): void {
    for (const timer of this.#topology?.computeTimers.get(ownerId) ?? []) this.#timers.setIfSooner(timer, atMs);
  }

  /** Readings only move `staleAtMs`; the timer, set once, finds out when it fires and waits on. */
  #goStale(key: PointKey, atMs: number, effects: EffectsCollector): void {
    const point = this.#points.get(key);
    if (!point || point.staleAtMs === null) return;
    if (point.staleAtMs > atMs) {
      this.#timers.set(`stale ${key}`, point.staleAtMs);
      return;
    }
    point.staleAtMs = null;
    point.quality = 'bad';
    point.reason = 'stale';
    this.#changed(point, atMs, effects);
    this.#computeDependents(point.owner, atMs);
  }

  #alarmDue(key: string, atMs: number, effects: EffectsCollector): void {
    const alarm = this.#alarms.find(key);
    if (!alarm) return;
    const value = this.#points.get(alarm.bound.pointKey)?.value ?? null;
    this.#alarms.step(alarm, { kind: 'due', value, limit: alarm.bound.limit }, atMs, effects);
  }

  #compute(ownerId: string, atMs: number, effects: EffectsCollector): void {
    const owner = this.#topology?.owners.get(ownerId);
    if (!owner) return;
    const lookup = (id: string): PointState | undefined => this.#see(owner, id);
    for (const result of computeOwner(owner, lookup, atMs)) {
      const point = this.#see(owner, result.id) ?? this.#appear(owner, result.id, null, atMs);
      const { value, quality, reason, observedAtMs, memory } = result;
      const isNews = point.value !== value || point.quality !== quality || point.reason !== reason;
      point.value = value;
      point.quality = quality;
      point.reason = reason;
      point.observedAtMs = observedAtMs;
      point.receivedAtMs = atMs;
      point.memory = memory;
      effects.computed.push({ owner: ownerId, point: result.id, atMs, value, quality, reason });
      if (result.id === 'blasting') this.#gate(ownerId, value === 1, atMs, effects);
      if (isNews) this.#changed(point, atMs, effects);
      else effects.changed.add(point.key);
    }
  }

  /** A point as an owner sees it: its own, else its compressor's, else its site's. */
  #see(owner: Owner, id: string): PointState | undefined {
    let seen = this.#seen.get(owner.id);
    if (!seen) this.#seen.set(owner.id, (seen = new Map()));
    let point = seen.get(id);
    if (point === undefined) {
      point = owner.sees.map((other) => this.#points.get(pointKey(other, id))).find((found) => found !== undefined) ?? null;
      seen.set(id, point);
    }
    return point ?? undefined;
  }

  /** Opens and closes the gate of the alarms that only count while blasting and settled. */
  #gate(rig: string, isBlasting: boolean, atMs: number, effects: EffectsCollector): void {
    if (isBlasting === this.#blastingSince.has(rig)) return;
    if (isBlasting) {
      this.#blastingSince.set(rig, atMs);
      for (const alarm of this.#gatedOf(rig)) this.#timers.setIfSooner(`gate ${rig}`, atMs + alarm.bound.rule.settleMs);
    } else {
      this.#blastingSince.delete(rig);
      this.#timers.clear(`gate ${rig}`);
      this.#judgeGated(rig, atMs, effects);
    }
  }

  #gatedOf(rig: string): SiteAlarm[] {
    return [...this.#alarms.all()].filter((alarm) => alarm.bound.owner === rig && alarm.bound.rule.gate === 'while-blasting');
  }

  #judgeGated(rig: string, atMs: number, effects: EffectsCollector): void {
    for (const alarm of this.#gatedOf(rig)) {
      const point = this.#points.get(alarm.bound.pointKey);
      if (point) this.#judge(point, atMs, effects);
    }
  }

  #isOpen(alarm: SiteAlarm, atMs: number): boolean {
    if (alarm.bound.rule.gate === 'always') return true;
    const since = this.#blastingSince.get(alarm.bound.owner);
    return since !== undefined && atMs >= since + alarm.bound.rule.settleMs;
  }

  #changed(point: PointState, atMs: number, effects: EffectsCollector): void {
    effects.changed.add(point.key);
    this.#judge(point, atMs, effects);
  }

  #judge(point: PointState, atMs: number, effects: EffectsCollector): void {
    this.#alarms.judgePoint(point, (alarm) => this.#isOpen(alarm, atMs), atMs, effects);
    for (const alarm of this.#alarms.on(point.key)) this.#timers.set(`alarm ${alarm.bound.key}`, alarm.track.dueAtMs);
  }

  #appear(owner: Owner, id: string, everyMs: number | null, atMs: number): PointState {
    const point = unseenPoint(owner.id, id, everyMs, atMs);
    this.#points.set(point.key, point);
    this.#seen.clear();
    this.#alarms.watch(owner, point, this.#config?.alarms ?? {});
    if (point.staleAtMs !== null) this.#timers.set(`stale ${point.key}`, point.staleAtMs);
    return point;
  }

  #configure(config: SiteConfig, version: string, effects: EffectsCollector): void {
    const before = new Map(this.#alarms.savedTracks());
    const standing = [...this.#alarms.all()].filter((alarm) => alarm.track.occurrence);
    this.#adopt(config, version, before);
    for (const { bound, track } of standing) {
      if (this.#alarms.find(bound.key) || !track.occurrence) continue;
      const occurrence = { ...track.occurrence, state: 'normal' as const, clearedAtMs: track.occurrence.clearedAtMs ?? this.#atMs };
      effects.transitions.push({ seq: effects.seq, n: effects.transitions.length, atMs: this.#atMs, key: bound.key, rule: bound.rule, owner: bound.owner, point: bound.point, from: track.occurrence.state, occurrence, by: 'configuration' });
    }
    for (const point of [...this.#points.values()]) this.#changed(point, this.#atMs, effects);
    effects.siteChanged = true;
  }

  /** Lays the site out anew; points and alarm tracks that still have an owner stay as they are. */
  #adopt(config: SiteConfig, version: string | null, tracks: ReadonlyMap<string, SiteAlarm['track']>): void {
    this.#config = config;
    this.#configVersion = version;
    this.#topology = layOut(config);
    this.#seen.clear();
    this.#alarms = new SiteAlarms(this.#siteId);
    for (const [key, point] of this.#points) {
      const owner = this.#topology.owners.get(point.owner);
      if (owner) this.#alarms.watch(owner, point, config.alarms, tracks);
      else this.#points.delete(key);
    }
    for (const { id, points } of [{ id: config.site.id, points: config.points }, ...config.compressors, ...config.rigs]) {
      const owner = this.#topology.owners.get(id);
      for (const [point, source] of Object.entries(points)) {
        if (owner && !this.#points.has(pointKey(id, point))) this.#appear(owner, point, source.everyMs, this.#atMs);
      }
    }
  }

  #act(action: Action, effects: EffectsCollector): void {
    if (action.kind === 'acknowledge' || action.kind === 'reset') {
      const alarm = this.#alarms.findOccurrence(action.alarm);
      effects.refusal = alarm ? this.#alarms.step(alarm, { kind: action.kind, by: action.by }, this.#atMs, effects).refusal : 'this alarm no longer stands';
      return;
    }
    const result = nextShifts(this.#shifts, action, this.#atMs, (rig) => this.#topology?.owners.get(rig)?.kind === 'rig', () => `${this.#siteId}-${effects.seq}-${effects.nextN()}`);
    this.#shifts = result.shifts;
    effects.refusal = result.refusal;
    effects.shift = result.made;
    effects.siteChanged = result.refusal === null;
  }
}
