import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { Shift } from '../../domain/shift/shift.ts';
import type { Action, LogEntry } from '../../domain/site/log.ts';
import type { Effects } from '../../domain/site/site-effects.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import { addRange, contiguousThrough, countOf, covers } from '../../domain/wire/sequence-ranges.ts';
import type { UplinkAck, UplinkBatch } from '../../domain/wire/uplink.ts';
import type { Clock } from '../../host/clock.ts';
import { hashOf } from '../../host/canonical-json.ts';
import type { Log } from '../../host/log.ts';
import type { CommitUnit, Cursor, LoggedEffects, Store } from '../record/store.ts';
import { markLate } from './mark-late.ts';

/** How long the log may grow before the state is saved with it, in log time. */
const SNAPSHOT_EVERY_MS = 10_000;
/** How often it is looked whether something fell due while nothing came in. */
const TICK_MS = 100;
/** Entries taken into one commit at most. */
const GROUP = 200;

type Draft = LogEntry extends infer E ? (E extends LogEntry ? Omit<E, 'seq' | 'atMs'> : never) : never;

interface Job {
  /** Null where there turns out to be nothing to write. */
  readonly draft: (atMs: number) => Draft | null;
  /** What a gateway handed over; its cursor moves with it, even where nothing in it is new. */
  readonly batch: UplinkBatch | null;
  readonly done: (effects: Effects | null) => void;
  readonly fail: (error: Error) => void;
}

export interface SiteWriterOptions {
  readonly siteId: string;
  readonly store: Store;
  readonly clock: Clock;
  readonly log: Log;
  /** Told after each commit. */
  readonly onCommitted: (writer: SiteWriter, effects: readonly Effects[]) => void;
}

export interface ActionResult {
  readonly refusal: string | null;
  /** The shift it changed, as it stands. */
  readonly shift: Shift | null;
  /** Id of what it added to a shift. */
  readonly item?: string | null;
}

/**
 * The only writer of one site: takes batches, actions and ticks in order, folds them into the state and commits entry, effects,
 * cursors and now and then the state in one transaction. Nothing is acknowledged before its commit. A commit starts when the one
 * before it has ended: whatever came in meanwhile goes along.
 */
export class SiteWriter {
  readonly siteId: string;
  readonly #options: SiteWriterOptions;
  #evaluator: SiteEvaluator;
  #cursors = new Map<string, Cursor>();
  /** Cursors that moved since the last commit. */
  #moved = new Set<string>();
  #jobs: Job[] = [];
  /** Actions that wait for their commit, by key: a second tap must not be a second action. */
  readonly #acting = new Map<string, Promise<ActionResult>>();
  #working: Promise<void> | null = null;
  #snapshotAtMs = 0;
  #recording = true;
  /** The state holds what the record does not, since it could not be read back either: nothing is folded on top of it. */
  #isAhead = false;
  readonly #ticker: NodeJS.Timeout;

  constructor(options: SiteWriterOptions) {
    this.siteId = options.siteId;
    this.#options = options;
    this.#evaluator = this.#load();
    this.#ticker = setInterval(() => this.#tickWhenDue(), TICK_MS);
    this.#ticker.unref();
  }

  get state(): SiteEvaluator {
    return this.#evaluator;
  }

  /** False after a commit failed, until one works again. */
  get isRecording(): boolean {
    return this.#recording;
  }

  /** Takes a batch in, once: what is already committed is passed over. Resolves after the commit. */
  take(batch: UplinkBatch): Promise<UplinkAck> {
    const arrivedAtMs = this.#options.clock.nowMs();
    const origin = cursorName(batch);
    const draft = (atMs: number): Draft | null => {
      const known = this.#cursors.get(origin)?.ranges ?? [];
      const fresh = batch.readings.filter(({ sequence }) => !covers(known, sequence));
      if (fresh.length === 0) return null;
      const gatewayNowMs = batch.sentAtMs + atMs - arrivedAtMs;
      const readings = markLate(fresh, (owner, point) => this.#evaluator.point(owner, point)?.observedAtMs ?? null, gatewayNowMs, batch.lane);
      return { kind: 'batch', origin, readings };
    };
    return new Promise((resolve, fail) => {
      const done = (): void => {
        const ranges = this.#cursors.get(origin)?.ranges ?? [];
        resolve({ committed: contiguousThrough(ranges), ranges });
      };
      this.#add({ draft, batch, done, fail });
    });
  }

  /** What is committed of each gateway. */
  cursors(): Cursor[] {
    return [...this.#cursors.values()];
  }

  /** Does what a person asked, or says why not. The same key again gets the same answer. */
  async act(action: Action): Promise<ActionResult> {
    const answered = this.#options.store.answer(this.siteId, action.key) ?? this.#acting.get(action.key);
    if (answered) return answered;
    const doing = this.#enqueue(() => ({ kind: 'action', action })).then((effects) => ({ refusal: effects?.refusal ?? null, shift: effects?.shift ?? null, item: effects?.items[0]?.id ?? null }));
    this.#acting.set(action.key, doing);
    return doing.finally(() => this.#acting.delete(action.key));
  }

  /** Puts a configuration into force when it differs from the one in force. */
  async configure(config: SiteConfig): Promise<void> {
    const version = hashOf(config);
    if (this.#evaluator.configVersion === version) return;
    await this.#enqueue(() => ({ kind: 'config', version, config }));
  }

  /** Notes that the wall clock moved against log time. */
  async noteClockJump(jumpMs: number): Promise<void> {
    await this.#enqueue(() => ({ kind: 'clock', jumpMs }));
  }

  /** Finishes what is queued and saves the state. */
  async stop(): Promise<void> {
    clearInterval(this.#ticker);
    await this.#working;
    if (this.#recording && this.#evaluator.seq > 0) {
      await this.#options.store.commit({ site: this.siteId, logged: [], cursors: [], snapshot: this.#evaluator.save() });
    }
  }

  #enqueue(draft: Job['draft']): Promise<Effects | null> {
    return new Promise((done, fail) => this.#add({ draft, batch: null, done, fail }));
  }

  #add(job: Job): void {
    this.#jobs.push(job);
    this.#working ??= this.#work();
  }

  #tickWhenDue(): void {
    if (this.#jobs.length > 0 || this.#working || this.#evaluator.nextDueAtMs > this.#options.clock.nowMs()) return;
    this.#enqueue(() => ({ kind: 'tick' })).catch((error: unknown) => this.#options.log.error({ err: error }, 'a tick could not be recorded'));
  }

  async #work(): Promise<void> {
    await Promise.resolve();
    while (this.#jobs.length > 0) await this.#commitGroup(this.#jobs.splice(0, GROUP));
    this.#working = null;
  }

  async #commitGroup(jobs: readonly Job[]): Promise<void> {
    try {
      if (this.#isAhead) this.#reload();
      const outcomes = jobs.map((job) => ({ job, logged: this.#fold(job) }));
      const logged = outcomes.flatMap(({ logged: one }) => (one ? [one] : []));
      const unit = this.#unit(logged);
      if (logged.length > 0 || unit.cursors.length > 0) await this.#options.store.commit(unit);
      if (unit.snapshot) this.#snapshotAtMs = this.#evaluator.atMs;
      this.#moved.clear();
      this.#recording = true;
      this.#options.onCommitted(this, logged.map(({ effects }) => effects));
      for (const { job, logged: one } of outcomes) job.done(one?.effects ?? null);
    } catch (error) {
      this.#fail(jobs, error as Error);
    }
  }

  #fold(job: Job): LoggedEffects | null {
    const atMs = Math.max(this.#evaluator.atMs, this.#options.clock.nowMs());
    const draft = job.draft(atMs);
    if (job.batch) this.#advance(job.batch, draft?.kind === 'batch' ? draft.readings.length : 0);
    if (!draft) return null;
    const entry = { ...draft, seq: this.#evaluator.seq + 1, atMs } as LogEntry;
    const effects = this.#evaluator.apply(entry);
    return { entry, effects };
  }

  /** Moves a gateway's cursor over a batch of which `taken` readings were new. */
  #advance(batch: UplinkBatch, taken: number): void {
    const origin = cursorName(batch);
    const known = this.#cursors.get(origin) ?? { gateway: batch.gateway, epoch: batch.epoch, ranges: [], missing: 0 };
    const ranges = addRange(known.ranges, [batch.after, batch.through]);
    const gained = countOf(ranges) - countOf(known.ranges);
    if (gained === 0) return;
    // What a gateway had given away before this server heard of it is not missing here.
    const before = batch.after === 0 && contiguousThrough(known.ranges) === 0 ? (batch.readings[0]?.sequence ?? batch.through + 1) - 1 : 0;
    const missing = Math.max(0, gained - taken - before);
    if (missing > 0) this.#options.log.warn({ gateway: batch.gateway, after: batch.after, through: batch.through, missing }, 'a gateway no longer had all readings of this range');
    this.#cursors.set(origin, { ...known, ranges, missing: known.missing + missing });
    this.#moved.add(origin);
  }

  #unit(logged: readonly LoggedEffects[]): CommitUnit {
    const isDue = this.#evaluator.atMs - this.#snapshotAtMs >= SNAPSHOT_EVERY_MS || logged.some(({ entry }) => entry.kind === 'config');
    const cursors = [...this.#moved].flatMap((name) => this.#cursors.get(name) ?? []);
    return { site: this.siteId, logged, cursors, snapshot: isDue ? this.#evaluator.save() : null };
  }

  /** The state has run ahead of the record: it is thrown away and built again from what is on the disk. */
  #fail(jobs: readonly Job[], error: Error): void {
    this.#recording = false;
    this.#options.log.error({ err: error, site: this.siteId }, 'not recording: a commit failed');
    this.#isAhead = true;
    try {
      this.#reload();
    } catch (cause) {
      this.#options.log.error({ err: cause, site: this.siteId }, 'the record can’t be read back');
    }
    this.#options.onCommitted(this, []);
    for (const job of jobs) job.fail(error);
  }

  #reload(): void {
    this.#evaluator = this.#load();
    this.#isAhead = false;
  }

  #load(): SiteEvaluator {
    const { store } = this.#options;
    const snapshot = store.readSnapshot(this.siteId);
    const evaluator = snapshot ? SiteEvaluator.load(snapshot) : new SiteEvaluator(this.siteId);
    for (const entry of store.readLog(this.siteId, evaluator.seq)) evaluator.apply(entry);
    this.#cursors = new Map(store.cursors(this.siteId).map((cursor) => [cursorName(cursor), cursor]));
    this.#moved.clear();
    return evaluator;
  }
}

function cursorName({ gateway, epoch }: { readonly gateway: string; readonly epoch: string }): string {
  return `${gateway}/${epoch}`;
}
