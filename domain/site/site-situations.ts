import { type LineBaseline, type NeedleReading, NO_SITE_SITUATION, NO_SITUATION, type Situation, type SiteSituation } from '../alarms/situation.ts';
import { flowRatio } from '../alarms/state-tests/line-tests.ts';
import { usable } from '../alarms/view.ts';
import type { PersonExposure } from '../exposure/person-exposure.ts';
import { atmosphereAt } from '../quantity/pressure.ts';
import { nextSituation, withShift } from '../shift/next-situation.ts';
import { isReadyAction, type Readiness } from '../shift/readiness/readiness.ts';
import type { RigSaid, SiteSaid } from './log.ts';
import { nextDrill } from '../shift/drill.ts';
import type { OwnerView } from './owner-view.ts';
import { noteFailures } from './note-failures.ts';
import type { Failure } from './site-effects.ts';
import { SiteReadiness } from './site-readiness.ts';
import { SitePeople } from './site-people.ts';
import type { Timers } from './timers.ts';

export interface SavedSituations {
  readonly rigs: readonly (readonly [string, Situation])[];
  readonly site: SiteSituation;
  readonly people: readonly PersonExposure[];
  readonly readiness: readonly (readonly [string, Readiness])[];
}

/** psi gauge at which a line counts as having come to pressure. */
const PRESSURISED = 60;

/** What is known of the rigs beside their sensors. Steps are pure; this keeps their results and the deadlines of the modes. */
export class SiteSituations {
  readonly #rigs: Map<string, Situation>;
  #site: SiteSituation;
  /** What each named person breathed under the hoods of these rigs. */
  readonly people: SitePeople;
  /** How far the check before blasting has come on each rig. */
  readonly readiness: SiteReadiness;

  constructor(saved: SavedSituations = { rigs: [], site: NO_SITE_SITUATION, people: [], readiness: [] }) {
    this.#rigs = new Map(saved.rigs);
    this.#site = saved.site;
    this.people = new SitePeople(saved.people);
    this.readiness = new SiteReadiness(saved.readiness);
  }

  get site(): SiteSituation {
    return this.#site;
  }

  of(rig: string): Situation {
    return this.#rigs.get(rig) ?? NO_SITUATION;
  }

  noteJump(ms: number, atMs: number): void {
    this.#site = { ...this.#site, clockJump: { atMs, ms } };
  }

  /** Notes what could not be judged; answers with what of it is news. */
  noteFailures(failures: readonly Failure[], atMs: number): readonly Failure[] {
    const { site, news } = noteFailures(this.#site, failures, atMs);
    this.#site = site;
    return news;
  }

  /** Does what is told of the whole site; why not, where it is refused. */
  actOnSite(action: SiteSaid & { readonly by: string }, isTraining: boolean, atMs: number): string | null {
    if (action.kind === 'alarm-path') {
      const { [action.path]: known, ...others } = this.#site.deadPaths;
      this.#site = { ...this.#site, deadPaths: action.isDead ? { ...others, [action.path]: known ?? { sinceMs: atMs } } : others };
      return null;
    }
    const { drill, refusal } = nextDrill(this.#site.drill, action, { isTraining, atMs, by: action.by });
    this.#site = { ...this.#site, drill };
    return refusal;
  }

  /** Does what somebody told of a rig; why not, where it is refused. */
  act(action: RigSaid & { readonly role: string }, by: string, atMs: number, view: OwnerView, timers: Timers, effects: { evidence: readonly string[] }): string | null {
    if (isReadyAction(action)) return this.readiness.act(action, by, atMs, view, effects);
    const isElsewhere = (name: string): string | null => [...this.#rigs].find(([rig, { underHood }]) => rig !== action.rig && underHood.some((one) => one.name === name))?.[0] ?? null;
    const { situation, refusal } = nextSituation(this.of(action.rig), action, by, atMs, isElsewhere);
    if (refusal !== null) return refusal;
    if (action.kind === 'hood-in') this.people.hoodOn(action.name, action.rig, atMs, atmosphereAt(view.elevation));
    if (action.kind === 'hood-out') this.people.hoodOff(action.name, atMs, atmosphereAt(view.elevation));
    const isNeedle = action.kind === 'entry' && action.entry === 'needle';
    this.#set(action.rig, isNeedle ? { ...situation, baseline: readBaseline(view, atMs) ?? situation.baseline, needle: readNeedle(situation, view, atMs) } : situation, timers);
    return null;
  }

  setShift(rig: string, sinceMs: number | null, timers: Timers): void {
    this.readiness.forget(rig);
    this.#set(rig, withShift(this.of(rig), sinceMs), timers);
  }

  /** Something was changed on the rig: what the line lost before is no measure any more. */
  forgetBaseline(rig: string): void {
    this.#rigs.set(rig, { ...this.of(rig), baseline: null, needle: null });
  }

  /** What the sensors tell of the situation, once a second. */
  notice(rig: string, view: OwnerView, atMs: number): void {
    const situation = this.of(rig);
    if (situation.underHood.length > 0) this.people.breathe(situation.underHood, atMs, usable(view.see('breathing-air-co')), atmosphereAt(view.elevation));
    this.readiness.watch(rig, view, atMs);
    if (view.isBlasting) {
      // Kept to the minute: nobody asks for more, and a new object each second would be waste.
      if (situation.lastBlastingMs === null || atMs - situation.lastBlastingMs >= 60_000) this.#rigs.set(rig, { ...situation, lastBlastingMs: atMs });
    }
    if (situation.pressurisedSinceMs !== null || situation.shiftSinceMs === null || situation.stopAnnouncedUntilMs !== null) return;
    const psi = usable(view.see('supply-pressure'));
    if (psi !== null && psi >= PRESSURISED) this.#rigs.set(rig, { ...this.of(rig), pressurisedSinceMs: atMs });
  }

  /** Ends the modes whose deadline has come. */
  endModes(rig: string, atMs: number, timers: Timers): void {
    const { bumpTestUntilMs, stopAnnouncedUntilMs, ...rest } = this.of(rig);
    const still = (untilMs: number | null): number | null => (untilMs !== null && untilMs > atMs ? untilMs : null);
    this.#set(rig, { ...rest, bumpTestUntilMs: still(bumpTestUntilMs), stopAnnouncedUntilMs: still(stopAnnouncedUntilMs) }, timers);
  }

  save(): SavedSituations {
    return { rigs: [...this.#rigs], site: this.#site, people: this.people.save(), readiness: this.readiness.save() };
  }

  #set(rig: string, situation: Situation, timers: Timers): void {
    this.#rigs.set(rig, situation);
    const ends = [situation.bumpTestUntilMs, situation.stopAnnouncedUntilMs].filter((ms) => ms !== null);
    timers.set(`mode ${rig}`, ends.length === 0 ? null : Math.min(...ends));
  }
}

/** The reading just entered; one without a value says that the needle was read, not what it showed. */
function readNeedle({ entries, needle }: Situation, view: OwnerView, atMs: number): NeedleReading | null {
  const nozzle = entries.needle?.value ?? null;
  return nozzle === null ? needle : { atMs, nozzle, supply: usable(view.see('supply-pressure')) };
}

/** What the line shows while the needle is read; undefined where it is not under flow. */
function readBaseline(view: OwnerView, atMs: number): LineBaseline | undefined {
  const residual = usable(view.see('line-loss-residual'));
  if (residual === null) return undefined;
  return { atMs, residual, supplyLoss: usable(view.see('supply-loss')), flow: usable(view.see('nozzle-air-flow')), flowRatio: view.hasOwnCompressor ? flowRatio(view) : null };
}
