import { type Flood, type FloodSettings, USUAL_FLOOD } from '../alarms/flood.ts';
import type { Situation, SiteSituation } from '../alarms/situation.ts';
import type { ExposureFigures } from '../exposure/person-exposure.ts';
import type { PointKey } from '../points/reading.ts';
import { findPointKind } from '../points/catalogue.ts';
import type { SiteConfig } from '../shift/site-config.ts';
import { asOnSite, isDrillAction } from '../shift/drill.ts';
import { changesRig, isShiftAction, type ShiftAction } from '../shift/next-shifts.ts';
import type { Shift } from '../shift/shift.ts';
import { computeOwner } from './compute-owner.ts';
import type { Action, LogEntry, LoggedReading, RigSaid, SiteSaid } from './log.ts';
import { type PointState, takeReading, tellInterval, unseenPoint } from './point-state.ts';
import { Annunciation } from './annunciation.ts';
import { type LateStretch, withLate } from './late-stretch.ts';
import type { SiteSight } from './owner-view.ts';
import { OwnerViews } from './owner-views.ts';
import { Gates } from './gates.ts';
import type { SavedAlarm, SiteAlarm } from './site-alarm.ts';
import { SiteAlarms, isAlarmTimer } from './site-alarms.ts';
import { closedByConfiguration, settingChanges } from './setting-changes.ts';
import { type Effects, EffectsCollector } from './site-effects.ts';
import { EVALUATOR_VERSION, type SiteSnapshot, loadPoints, saveSite } from './site-snapshot.ts';
import { SitePoints } from './site-points.ts';
import type { RigCheck } from './site-readiness.ts';
import { type Actor, SiteShifts, withShifts } from './site-shifts.ts';
import { SiteSituations } from './site-situations.ts';
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
  #points = new SitePoints();
  #alarms: SiteAlarms;
  #shifts = new SiteShifts();
  #timers = new Timers();
  #situations = new SiteSituations();
  #annunciation = new Annunciation();
  readonly #views: OwnerViews;
  #late: LateStretch | null = null;
  #gates = new Gates(() => this.#alarms, () => this.#timers);

  constructor(siteId: string) {
    this.#siteId = siteId;
    this.#alarms = new SiteAlarms(siteId, this.#timers);
    this.#views = new OwnerViews(this.#sight, () => this.#topology);
  }

  static load(snapshot: SiteSnapshot): SiteEvaluator {
    const evaluator = new SiteEvaluator(snapshot.site);
    evaluator.#seq = snapshot.seq;
    evaluator.#atMs = snapshot.atMs;
    evaluator.#shifts = new SiteShifts(snapshot.shifts);
    evaluator.#late = snapshot.late;
    evaluator.#gates = new Gates(() => evaluator.#alarms, () => evaluator.#timers, snapshot.blastingSince);
    evaluator.#timers = Timers.load(snapshot.timers);
    evaluator.#points = new SitePoints(loadPoints(snapshot));
    evaluator.#situations = new SiteSituations(snapshot.situations);
    evaluator.#annunciation = new Annunciation(snapshot.annunciation);
    if (snapshot.config) evaluator.#adopt(snapshot.config, snapshot.configVersion, new Map(snapshot.alarms), false);
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
      points: this.#points.all(),
      alarms: this.#alarms.save(),
      situations: this.#situations.save(),
      annunciation: this.#annunciation.save(),
      late: this.#late,
      shifts: this.#shifts.save(),
      blastingSince: this.#gates.save(),
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
    return this.#shifts.open();
  }
  get unsealedShifts(): readonly Shift[] {
    return this.#shifts.unsealed();
  }
  points(): IterableIterator<PointState> {
    return this.#points.all().values();
  }
  point(owner: string, id: string): PointState | undefined {
    return this.#points.get(owner, id);
  }
  alarms(): IterableIterator<SiteAlarm> {
    return this.#alarms.all();
  }
  alarmsOn(key: PointKey): readonly SiteAlarm[] {
    return this.#alarms.on(key);
  }
  situation(rig: string): Situation {
    return this.#situations.of(rig);
  }
  /** The check before blasting of a rig; null where there is no such rig. */
  readonly readiness = (rig: string, atMs: number): RigCheck | null => this.#situations.readiness.read(this.#topology?.owners.get(rig), this.#views, atMs);
  get siteSituation(): SiteSituation {
    return this.#situations.site;
  }
  /** What a named person breathed; undefined for one who was never under a hood. */
  exposure(person: string): ExposureFigures | undefined {
    return this.#situations.people.figures(person);
  }
  /** What late readings are from and nobody has looked at yet; null where there is nothing. */
  get late(): LateStretch | null {
    return this.#late;
  }
  get flood(): Flood {
    return this.#annunciation.flood;
  }
  isChattering(alarm: SiteAlarm): boolean {
    return this.#annunciation.isChattering(alarm.bound.key, this.#atMs);
  }
  /** The alarm whose standing occurrence has this id, or that has this key. */
  findAlarm(id: string): SiteAlarm | undefined {
    return this.#alarms.findOccurrence(id);
  }
  /** When something falls due next without an entry; Infinity when nothing does. */
  get nextDueAtMs(): number {
    return this.#timers.nextAtMs;
  }

  apply(entry: LogEntry): Effects {
    if (entry.seq !== this.#seq + 1) throw new Error(`site ${this.#siteId}: log entry ${entry.seq} after ${this.#seq}`);
    const effects = new EffectsCollector(entry.seq, this.#config?.site.training);
    const atMs = Math.max(this.#atMs, entry.atMs);
    const doubtful = entry.kind === 'unheard' ? this.#points.hearAgain(entry.fromMs, atMs) : [];
    if (entry.kind === 'batch') {
      this.#late = withLate(this.#late, entry);
      for (const reading of entry.readings) {
        try {
          this.#take(reading, atMs, effects);
        } catch (error) {
          effects.fail(`reading ${reading.owner}/${reading.point}`, error);
        }
      }
    }
    // Acknowledged and raised anew in one instant: the acknowledgement comes first, and the new activation is nobody's yet (ISA-18.2).
    const isAcknowledgement = entry.kind === 'action' && entry.action.kind === 'acknowledge';
    this.#runTimers(isAcknowledgement ? atMs - 1 : atMs, effects);
    this.#atMs = atMs;
    for (const point of doubtful) this.#silent(point, atMs, effects);
    if (entry.kind === 'config') this.#configure(entry.config, entry.version, effects);
    if (entry.kind === 'action') this.#act(entry.action, effects);
    if (entry.kind === 'clock') this.#noteJump(entry.jumpMs, effects);
    if (entry.kind === 'found' && this.#late && this.#late.seq <= entry.throughSeq) this.#late = null;
    if (entry.kind === 'quarantine') effects.quarantine(entry);
    if (isAcknowledgement) this.#runTimers(atMs, effects);
    // What fails, fails alone, and alike in a replay: the rest of the site goes on.
    if (effects.failures.length > 0) {
      effects.failures = this.#situations.noteFailures(effects.failures, this.#atMs);
      this.#judgeOwner(this.#siteId, this.#atMs, effects);
    }
    if (this.#annunciation.count(effects.transitions, this.#floodSettings(), this.#timers)) effects.floodChanged = true;
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
    const seen = this.#points.see(owner, reading.point);
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
      try {
        this.#fire(due.id, this.#atMs, effects);
      } catch (error) {
        effects.fail(due.id, error);
      }
    }
  }

  #fire(id: string, atMs: number, effects: EffectsCollector): void {
    const [kind = '', name = ''] = id.split(' ');
    if (kind === 'stale') this.#goStale(name as PointKey, atMs, effects);
    else if (kind === 'compute') this.#compute(name, atMs, effects);
    else if (kind === 'gate') this.#gates.judge(name, atMs, effects);
    else if (kind === 'mode') this.#endModes(name, atMs, effects);
    else if (kind === 'flood') effects.floodChanged = this.#annunciation.pass(this.#floodSettings(), atMs, this.#timers) || effects.floodChanged;
    else if (isAlarmTimer(kind)) this.#alarms.fire(kind, name, atMs, this.#gates.isOpen, effects);
    else throw new Error(`unknown timer ${id}`);
  }

  #computeDependents(ownerId: string, atMs: number): void {
    for (const timer of this.#topology?.computeTimers.get(ownerId) ?? []) this.#timers.setIfSooner(timer, atMs);
  }

  /** Readings only move `staleAtMs`; the timer, set once, finds out when it fires and waits on. */
  #goStale(key: PointKey, atMs: number, effects: EffectsCollector): void {
    const point = this.#points.all().get(key);
    if (!point || point.staleAtMs === null) return;
    if (point.staleAtMs > atMs) return this.#timers.set(`stale ${key}`, point.staleAtMs);
    point.staleAtMs = null;
    Object.assign(point, { quality: 'bad', reason: 'stale' } satisfies Partial<PointState>);
    this.#silent(point, atMs, effects);
  }

  #silent(point: PointState, atMs: number, effects: EffectsCollector): void {
    this.#changed(point, atMs, effects);
    this.#computeDependents(point.owner, atMs);
  }

  #endModes(rig: string, atMs: number, effects: EffectsCollector): void {
    this.#situations.endModes(rig, atMs, this.#timers);
    this.#judgeOwner(rig, atMs, effects);
    effects.siteChanged = true;
  }

  /** Judges whatever a change of the situation may move: the owner's alarms, and those of its compressors. */
  #judgeOwner(owner: string, atMs: number, effects: EffectsCollector): void {
    for (const other of this.#topology?.owners.get(owner)?.sees ?? []) {
      for (const alarm of this.#alarms.ofOwner(other)) this.#alarms.judge(alarm, atMs, this.#gates.isOpen, effects);
    }
  }

  #noteJump(ms: number, effects: EffectsCollector): void {
    this.#situations.noteJump(ms, this.#atMs);
    this.#judgeOwner(this.#siteId, this.#atMs, effects);
  }

  #floodSettings(): FloodSettings {
    return this.#config?.flood ?? USUAL_FLOOD;
  }

  #compute(ownerId: string, atMs: number, effects: EffectsCollector): void {
    const owner = this.#topology?.owners.get(ownerId);
    if (!owner) return;
    const lookup = (id: string): PointState | undefined => this.#points.see(owner, id);
    for (const result of computeOwner(owner, lookup, atMs, (id, error) => effects.fail(`computed ${ownerId}/${id}`, error))) {
      const point = this.#points.see(owner, result.id) ?? this.#appear(owner, result.id, null, atMs);
      const { value, quality, reason, observedAtMs, memory } = result;
      point.value = value;
      point.quality = quality;
      point.reason = reason;
      point.observedAtMs = observedAtMs;
      point.receivedAtMs = atMs;
      point.memory = memory;
      effects.computed.push({ owner: ownerId, point: result.id, atMs, value, quality, reason });
      if (result.id === 'blasting') this.#gates.set(ownerId, value === 1, atMs, effects);
      // Judged though the same as before: what suppressed its alarms may have ended.
      this.#changed(point, atMs, effects);
    }
    if (owner.kind === 'rig') this.#situations.notice(ownerId, this.#views.of(owner), atMs);
    this.#alarms.judgeStates(ownerId, atMs, this.#gates.isOpen, effects);
  }

  readonly #sight: SiteSight = {
    see: (owner, id) => this.#points.see(owner, id),
    situation: (rig) => this.#situations.of(rig),
    siteSituation: () => this.#situations.site,
    blastingSince: (rig) => this.#gates.since(rig),
    startedMs: (rig) => {
      const held = this.#points.get(rig, 'handle-held');
      return this.#gates.since(rig) ?? (held?.value && held.receivedAtMs !== null && held.quality !== 'bad' ? held.receivedAtMs - held.value * 1000 : null);
    },
    stands: (key) => (this.#alarms.find(key)?.track.occurrence ?? null) !== null,
  };

  #changed(point: PointState, atMs: number, effects: EffectsCollector): void {
    effects.changed.add(point.key);
    this.#alarms.judgePoint(point.key, atMs, this.#gates.isOpen, effects);
  }

  #appear(owner: Owner, id: string, everyMs: number | null, atMs: number): PointState {
    const point = unseenPoint(owner.id, id, everyMs, atMs);
    this.#points.add(point);
    this.#views.forgetPoints();
    this.#watch(owner, point);
    if (point.staleAtMs !== null) this.#timers.set(`stale ${point.key}`, point.staleAtMs);
    return point;
  }

  /** A point that appears may be the last that a state rule of its owner, or of one that sees it, was waiting for. */
  #watch(owner: Owner, point: PointState): void {
    this.#alarms.watchPoint(owner, this.#views.of(owner), point);
    for (const other of this.#topology?.owners.values() ?? []) if (other.sees.includes(owner.id)) this.#alarms.watchStates(other, this.#views.of(other));
  }

  #configure(config: SiteConfig, version: string, effects: EffectsCollector): void {
    const before = new Map(this.#alarms.save());
    const standing = [...this.#alarms.all()].filter((alarm) => alarm.track.occurrence).sort((a, b) => (a.bound.key < b.bound.key ? -1 : 1));
    effects.settings = settingChanges(this.#config, config);
    this.#adopt(config, version, before);
    effects.transitions.push(...closedByConfiguration(standing.filter(({ bound }) => !this.#alarms.find(bound.key)), effects, this.#atMs));
    for (const point of [...this.#points.all().values()]) this.#changed(point, this.#atMs, effects);
    for (const owner of this.#topology?.owners.keys() ?? []) this.#alarms.judgeStates(owner, this.#atMs, this.#gates.isOpen, effects);
    effects.siteChanged = true;
  }

  /** Lays the site out anew; points and alarm tracks that still have an owner stay as they are. */
  #adopt(config: SiteConfig, version: string | null, saved: ReadonlyMap<string, SavedAlarm>, isNew = true): void {
    this.#config = config;
    this.#configVersion = version;
    this.#topology = withShifts(layOut(config), this.#shifts);
    this.#views.clear();
    this.#alarms = new SiteAlarms(this.#siteId, this.#timers, config.alarms, saved);
    const { owners } = this.#topology;
    this.#points.keepOf((owner) => owners.has(owner));
    for (const point of this.#points.all().values()) {
      const owner = this.#topology.owners.get(point.owner);
      if (owner) this.#alarms.watchPoint(owner, this.#views.of(owner), point);
    }
    for (const { id, points } of [{ id: config.site.id, points: config.points }, ...config.compressors, ...config.rigs]) {
      const owner = this.#topology.owners.get(id);
      for (const [point, source] of Object.entries(points)) {
        const known = this.#points.get(id, point);
        if (known) tellInterval(known, source.everyMs);
        else if (owner) this.#appear(owner, point, source.everyMs, this.#atMs);
      }
    }
    for (const owner of this.#topology.owners.values()) this.#alarms.watchStates(owner, this.#views.of(owner), isNew);
  }

  #act(action: Action, effects: EffectsCollector): void {
    if ('alarm' in action) this.#actOnAlarm(action, effects);
    else if (isShiftAction(action)) this.#actOnShift(action, effects);
    else if (action.kind === 'alarm-path' || isDrillAction(action)) this.#actOnSite(action, effects);
    else if (action.kind !== 'hold-record' && action.kind !== 'erase-readings') this.#actOnRig(action, effects);
  }

  #actOnAlarm(action: Extract<Action, { alarm: string }>, effects: EffectsCollector): void {
    const alarm = this.#alarms.findOccurrence(action.alarm);
    effects.refusal = alarm ? this.#alarms.step(alarm, action, this.#atMs, effects).refusal : 'this alarm no longer stands';
  }

  #actOnShift(action: ShiftAction & Actor, effects: EffectsCollector): void {
    const made = this.#shifts.act(asOnSite(action, this.#config), action, this.#atMs, (rig) => this.#topology?.owners.get(rig)?.kind === 'rig', () => this.#newId(effects), effects);
    if (!made || !changesRig(action)) return;
    if (this.#config) this.#topology = withShifts(layOut(this.#config), this.#shifts);
    if (action.kind === 'change-setup') this.#situations.forgetBaseline(made.rig);
    else this.#situations.setShift(made.rig, made.endedAtMs === null ? made.startedAtMs : null, this.#timers);
    this.#judgeOwner(made.rig, this.#atMs, effects);
  }

  #actOnRig(action: RigSaid & Actor, effects: EffectsCollector): void {
    const rig = this.#topology?.owners.get(action.rig);
    effects.refusal = rig?.kind === 'rig' ? this.#situations.act(action, action.by, this.#atMs, this.#views.of(rig), this.#timers, effects) : `there is no rig ${action.rig}`;
    if (effects.refusal !== null) return;
    this.#shifts.note(action, action, this.#atMs, () => this.#newId(effects), effects);
    this.#judgeOwner(action.rig, this.#atMs, effects);
    effects.siteChanged = true;
  }

  readonly #newId = (effects: EffectsCollector): string => `${this.#siteId}-${effects.seq}-${effects.nextN()}`;

  #actOnSite(action: SiteSaid & Actor, effects: EffectsCollector): void {
    effects.refusal = this.#situations.actOnSite(action, this.#config?.site.training ?? false, this.#atMs);
    effects.siteChanged = action.kind !== 'alarm-path' && effects.refusal === null;
    this.#judgeOwner(this.#siteId, this.#atMs, effects);
  }
}
