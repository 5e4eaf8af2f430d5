import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { Action, Finding, LogEntry } from '../../domain/site/log.ts';
import type { Effects } from '../../domain/site/site-effects.ts';
import { type AlarmChanges, withAlarmChanges } from '../../domain/site/rejudge.ts';
import type { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { UplinkAck, UplinkBatch } from '../../domain/wire/uplink.ts';
import type { Clock } from '../../host/clock.ts';
import { hashOf } from '../../host/canonical-json.ts';
import type { Log } from '../../host/log.ts';
import { noticesOf } from '../notify/notice.ts';
import type { CommitUnit, Cursor, LoggedEffects, Store } from '../record/store.ts';
import { loadSite } from './load-site.ts';
import { GatewayCursors, originOf } from './gateway-cursors.ts';
import { LeaseLost } from '../record/postgres/leases.ts';
import { markLate } from './mark-late.ts';
import type { ActionResult, Site } from './site.ts';
import { type Draft, FoldError, isOfTheEntry, quarantine } from './quarantine.ts';

/** How long the log may grow before the state is saved with it, in log time. */
const SNAPSHOT_EVERY_MS = 10_000;
/** How often it is looked whether something fell due while nothing came in. */
const TICK_MS = 100;
/** A pause of the whole program longer than this is told: silence in it says nothing of a sensor. */
const UNHEARD_MS = 2_000;
/** Entries taken into one commit at most. */
const GROUP = 200;

interface Job {
  /** Null where there turns out to be nothing to write. */
  readonly draft: (atMs: number) => Draft | null;
  /** What a gateway handed over; its cursor moves with it, even where nothing in it is new. */
  readonly batch: UplinkBatch | null;
  readonly done: (effects: Effects | null) => void;
  readonly fail: (error: Error) => void;
  /** Why its entry can't be folded or stored as what it is; it is then logged as quarantined. */
  poison: unknown;
}

export interface SiteWriterOptions {
  readonly siteId: string;
  readonly store: Store;
  readonly clock: Clock;
  readonly log: Log;
  /** Told after each commit. */
  readonly onCommitted: (writer: SiteWriter, effects: readonly Effects[]) => void;
  /** Of the lease under which it writes; left out where no other server could. */
  readonly epoch?: number;
  /** Told once, when a commit was refused because another server has the site. */
  readonly onLost?: () => void;
}

/**
 * The only writer of one site: takes batches, actions and ticks in order, folds them into the state and commits entry, effects,
 * cursors and now and then the state in one transaction. Nothing is acknowledged before its commit. A commit starts when the one
 * before it has ended: whatever came in meanwhile goes along.
 */
export class SiteWriter implements Site {
  readonly siteId: string;
  readonly #options: SiteWriterOptions;
  #evaluator: SiteEvaluator;
  #cursors: GatewayCursors;
  #jobs: Job[] = [];
  /** Actions that wait for their commit, by key: a second tap must not be a second action. */
  readonly #acting = new Map<string, Promise<ActionResult>>();
  #working: Promise<void> | null = null;
  #snapshotAtMs = 0;
  #recording = true;
  /** The state holds what the record does not, since it could not be read back either: nothing is folded on top of it. */
  #isAhead = false;
  /** Another server has the site: this one writes nothing any more. */
  #isLost = false;
  /** When this last ran, ms of the monotonic clock; and until when the log goes that was found at the start. */
  #ranAtMs = performance.now();
  #unheardFromMs: number | null;
  readonly #ticker: NodeJS.Timeout;

  private constructor(options: SiteWriterOptions, { evaluator, cursors }: Loaded) {
    this.siteId = options.siteId;
    this.#options = options;
    this.#evaluator = evaluator;
    this.#cursors = cursors;
    this.#unheardFromMs = this.#evaluator.seq > 0 && options.clock.nowMs() - this.#evaluator.atMs > UNHEARD_MS ? this.#evaluator.atMs : null;
    this.#ticker = setInterval(() => {
      this.#noticePause();
      this.#tickWhenDue();
    }, TICK_MS);
    this.#ticker.unref();
  }

  /** Rebuilds the site from the record; or takes its state as it was read from there up to the end of the log. */
  static async open(options: SiteWriterOptions, evaluator: SiteEvaluator | null = null): Promise<SiteWriter> {
    return new SiteWriter(options, await load(options, evaluator));
  }

  get isOurs(): true {
    return true;
  }

  get state(): SiteEvaluator {
    return this.#evaluator;
  }

  /** False after a commit failed, until one works again. */
  get isRecording(): boolean {
    return this.#recording;
  }

  take(batch: UplinkBatch): Promise<UplinkAck> {
    const arrivedAtMs = this.#options.clock.nowMs();
    const draft = (atMs: number): Draft | null => {
      const fresh = this.#cursors.fresh(batch);
      if (fresh.length === 0) return null;
      const gatewayNowMs = batch.sentAtMs + atMs - arrivedAtMs;
      const readings = markLate(fresh, (owner, point) => this.#evaluator.point(owner, point)?.observedAtMs ?? null, gatewayNowMs, batch.lane);
      return { kind: 'batch', origin: originOf(batch), readings };
    };
    return new Promise((resolve, fail) => this.#add({ draft, batch, done: () => resolve(this.#cursors.ackFor(batch)), fail, poison: null }));
  }

  cursors(): Cursor[] {
    return this.#cursors.all();
  }

  async act(action: Action): Promise<ActionResult> {
    const standing = this.#acting.get(action.key);
    if (standing) return standing;
    const doing = this.#answer(action).finally(() => this.#acting.delete(action.key));
    this.#acting.set(action.key, doing);
    return doing;
  }

  async #answer(action: Action): Promise<ActionResult> {
    const answered = await this.#options.store.answer(this.siteId, action.key);
    if (answered) return answered;
    const effects = await this.#enqueue(() => ({ kind: 'action', action }));
    return { refusal: effects?.refusal ?? null, shift: effects?.shift ?? null, item: effects?.items[0]?.id ?? null };
  }

  async configure(config: SiteConfig, told: { readonly by?: string; readonly why?: string } = {}): Promise<void> {
    const version = hashOf(config);
    // A file that has not changed leaves a proposal in force that was put on top of it.
    if (this.#evaluator.configVersion?.split('+')[0] === version) return;
    await this.#enqueue(() => ({ kind: 'config', version, config, ...told }));
    if (this.#evaluator.configVersion !== version && this.#evaluator.config === null) throw new Error(`site ${this.siteId}: the configuration could not be put into force; the journal says why`);
  }

  async putIntoForce(proposal: string, changes: AlarmChanges, by: string, why: string): Promise<void> {
    const { config, configVersion } = this.#evaluator;
    if (!config) throw new Error(`site ${this.siteId} has no configuration yet`);
    const version = `${configVersion?.split('+')[0] ?? ''}+${proposal}`;
    if (configVersion === version) return;
    await this.#enqueue(() => ({ kind: 'config', version, config: withAlarmChanges(config, changes), by, why }));
  }

  async noteClockJump(jumpMs: number): Promise<void> {
    await this.#enqueue(() => ({ kind: 'clock', jumpMs }));
  }

  async noteFound(throughSeq: number, findings: readonly Finding[]): Promise<void> {
    await this.#enqueue(() => ({ kind: 'found', throughSeq, findings }));
  }

  async stop(): Promise<void> {
    clearInterval(this.#ticker);
    await this.#working;
    if (this.#recording && !this.#isLost && this.#evaluator.seq > 0) {
      await this.#options.store.commit({ site: this.siteId, logged: [], notices: [], cursors: [], epoch: this.#options.epoch, snapshot: this.#evaluator.save() });
    }
  }

  /** Another server has the site: whatever waits here fails, and nothing more is written. */
  abandon(): void {
    this.#lose([], new LeaseLost(`site ${this.siteId}: another server has taken it over`));
  }

  #enqueue(draft: Job['draft']): Promise<Effects | null> {
    return new Promise((done, fail) => this.#add({ draft, batch: null, done, fail, poison: null }));
  }

  #add(job: Job): void {
    if (this.#isLost) return job.fail(new LeaseLost(`site ${this.siteId}: another server has taken it over`));
    this.#jobs.push(job);
    this.#working ??= this.#work();
  }

  #tickWhenDue(): void {
    if (this.#jobs.length > 0 || this.#working || this.#evaluator.nextDueAtMs > this.#options.clock.nowMs()) return;
    this.#enqueue(() => ({ kind: 'tick' })).catch((error: unknown) => this.#options.log.error({ err: error }, 'a tick could not be recorded'));
  }

  async #work(): Promise<void> {
    await Promise.resolve();
    while (this.#jobs.length > 0) await this.#commitGroup([...this.#unheard(), ...this.#jobs.splice(0, GROUP)]);
    this.#working = null;
  }

  #noticePause(): void {
    const pausedMs = performance.now() - this.#ranAtMs;
    this.#ranAtMs = performance.now();
    if (pausedMs > UNHEARD_MS) this.#unheardFromMs ??= Math.floor(this.#options.clock.nowMs() - pausedMs);
  }

  /** What has to be said before anything else after a pause: else it would look like the silence of every sensor. */
  #unheard(): Job[] {
    this.#noticePause();
    const fromMs = this.#unheardFromMs;
    this.#unheardFromMs = null;
    if (fromMs === null) return [];
    return [{ draft: () => ({ kind: 'unheard', fromMs }), batch: null, done: () => undefined, fail: () => (this.#unheardFromMs ??= fromMs), poison: null }];
  }

  async #commitGroup(jobs: readonly Job[]): Promise<void> {
    try {
      if (this.#isAhead && !(await this.#reload())) throw new Error('the state is ahead of the record, which can’t be read back');
      const outcomes = jobs.map((job) => ({ job, logged: this.#fold(job) }));
      const logged = outcomes.flatMap(({ logged: one }) => (one ? [one] : []));
      const unit = this.#unit(logged);
      if (logged.length > 0 || unit.cursors.length > 0) await this.#options.store.commit(unit);
      if (unit.snapshot) this.#snapshotAtMs = this.#evaluator.atMs;
      this.#cursors.markCommitted();
      this.#recording = true;
      this.#options.onCommitted(this, logged.map(({ effects }) => effects));
      for (const { job, logged: one } of outcomes) job.done(one?.effects ?? null);
    } catch (error) {
      await this.#recover(jobs, error);
    }
  }

  #fold(job: Job): LoggedEffects | null {
    const atMs = Math.max(this.#evaluator.atMs, this.#options.clock.nowMs());
    const drafted = job.draft(atMs);
    if (!drafted) {
      if (job.batch) this.#advance(job.batch, 0);
      return null;
    }
    const draft = job.poison === null ? drafted : quarantine(drafted, job.poison);
    const entry = { ...draft, seq: this.#evaluator.seq + 1, atMs } as LogEntry;
    let effects: Effects;
    try {
      effects = this.#evaluator.apply(entry);
    } catch (error) {
      throw new FoldError(job, error);
    }
    if (job.batch && drafted.kind === 'batch') this.#advance(job.batch, drafted.readings.length);
    return { entry, effects };
  }

  /** One entry that can't be folded or stored must not stop its site: it is found, kept as it came, and the others go on. */
  async #recover(jobs: readonly Job[], error: unknown): Promise<void> {
    const poison = error instanceof FoldError ? jobs.find((job) => job === error.job) : jobs.length === 1 ? jobs[0] : undefined;
    const isOurs = error instanceof FoldError || isOfTheEntry(error);
    if (!isOurs || (poison && poison.poison !== null) || !(await this.#reload())) return this.#fail(jobs, error as Error);
    if (poison) {
      poison.poison = error;
      this.#options.log.error({ err: error, site: this.siteId }, 'an entry could not be recorded as what it is; it is kept in quarantine');
      return this.#commitGroup(jobs);
    }
    for (const job of jobs) await this.#commitGroup([job]);
  }

  #advance(batch: UplinkBatch, taken: number): void {
    const missing = this.#cursors.advance(batch, taken);
    if (missing > 0) this.#options.log.warn({ gateway: batch.gateway, after: batch.after, through: batch.through, missing }, 'a gateway no longer had all readings of this range');
  }

  #unit(logged: readonly LoggedEffects[]): CommitUnit {
    const isDue = this.#evaluator.atMs - this.#snapshotAtMs >= SNAPSHOT_EVERY_MS || logged.some(({ entry }) => entry.kind === 'config');
    const notices = logged.flatMap((one) => noticesOf(this.siteId, one, this.#evaluator.config?.notify ?? null));
    return { site: this.siteId, logged, notices, cursors: this.#cursors.moved(), links: this.#cursors.links(), epoch: this.#options.epoch, snapshot: isDue ? this.#evaluator.save() : null };
  }

  /** The state has run ahead of the record: it is thrown away and built again from what is on the disk. */
  async #fail(jobs: readonly Job[], error: Error): Promise<void> {
    if (error instanceof LeaseLost) return this.#lose(jobs, error);
    this.#recording = false;
    this.#options.log.error({ err: error, site: this.siteId }, 'not recording: a commit failed');
    await this.#reload();
    this.#options.onCommitted(this, []);
    for (const job of jobs) job.fail(error);
  }

  /** The site is another server's: nothing more is folded here, and whoever waits is told. */
  #lose(jobs: readonly Job[], error: LeaseLost): void {
    clearInterval(this.#ticker);
    const isNews = !this.#isLost;
    this.#isLost = true;
    for (const job of [...jobs, ...this.#jobs.splice(0)]) job.fail(error);
    if (isNews) this.#options.onLost?.();
  }

  async #reload(): Promise<boolean> {
    this.#isAhead = true;
    try {
      const { evaluator, cursors } = await load(this.#options);
      this.#evaluator = evaluator;
      this.#cursors = cursors;
      this.#isAhead = false;
      return true;
    } catch (cause) {
      this.#options.log.error({ err: cause, site: this.siteId }, 'the record can’t be read back');
      return false;
    }
  }
}

interface Loaded {
  readonly evaluator: SiteEvaluator;
  readonly cursors: GatewayCursors;
}

async function load({ store, siteId, log }: SiteWriterOptions, evaluator: SiteEvaluator | null = null): Promise<Loaded> {
  return { evaluator: evaluator ?? (await loadSite(store, siteId, log)), cursors: new GatewayCursors(await store.cursors(siteId)) };
}
