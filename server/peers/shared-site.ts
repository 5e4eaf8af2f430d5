import { hashOf } from '../../host/canonical-json.ts';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { Action, Finding } from '../../domain/site/log.ts';
import type { AlarmChanges } from '../../domain/site/rejudge.ts';
import type { Effects } from '../../domain/site/site-effects.ts';
import type { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import { type UplinkAck, uplinkAck, type UplinkBatch } from '../../domain/wire/uplink.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import { loadSite } from '../intake/load-site.ts';
import type { ActionResult, Site, ToldChange } from '../intake/site.ts';
import { SiteWriter } from '../intake/site-writer.ts';
import type { Cursor, Store } from '../record/store.ts';
import type { PeerMessage } from './peer-message.ts';

export interface SharedSiteOptions {
  /** As this server's file has it. */
  readonly config: SiteConfig;
  readonly store: Store;
  readonly clock: Clock;
  readonly log: Log;
  /** Told of what is new, whoever wrote it. */
  readonly onCommitted: (site: SharedSite, effects: readonly Effects[]) => void;
  /** Told of readings that another server took in. */
  readonly onRead: (site: string) => void;
  /** Hands on to the server that has the site. */
  readonly ask: (message: PeerMessage) => Promise<unknown>;
  /** Told once when it was lost to another server. */
  readonly onLost: (site: SharedSite) => void;
}

/**
 * A site that several servers know: one of them has it, judges it and writes its log; the others read that log as it grows and fold it to
 * the same state, only to show it. Nothing follows from what they fold: no entry, no notice, no seal. Decision 0029.
 */
export class SharedSite implements Site {
  readonly siteId: string;
  readonly #options: SharedSiteOptions;
  #evaluator: SiteEvaluator;
  #cursors: Cursor[] = [];
  /** There while the site is ours. */
  #writer: SiteWriter | null = null;
  /** The state may be ahead of the log, or an entry could not be folded: it is read anew. */
  #mustLoad = false;
  /** False while no living server has it, as far as we know. */
  #isHeld = false;
  /** What this server's file says; null once somebody has changed the settings elsewhere. */
  #config: SiteConfig | null;
  #last: Promise<unknown> = Promise.resolve();

  private constructor(options: SharedSiteOptions, evaluator: SiteEvaluator) {
    this.siteId = options.config.site.id;
    this.#options = options;
    this.#evaluator = evaluator;
    this.#config = options.config;
  }

  static async open(options: SharedSiteOptions): Promise<SharedSite> {
    return new SharedSite(options, await loadSite(options.store, options.config.site.id, options.log));
  }

  get state(): SiteEvaluator {
    return this.#writer?.state ?? this.#evaluator;
  }

  get isOurs(): boolean {
    return this.#writer !== null;
  }

  get isRecording(): boolean {
    return this.#writer?.isRecording ?? this.#isHeld;
  }

  async take(batch: UplinkBatch): Promise<UplinkAck> {
    return this.#writer?.take(batch) ?? uplinkAck.parse(await this.#options.ask({ kind: 'take', batch }));
  }

  cursors(): Cursor[] {
    return this.#writer?.cursors() ?? this.#cursors;
  }

  async act(action: Action): Promise<ActionResult> {
    if (this.#writer) return this.#writer.act(action);
    const result = (await this.#options.ask({ kind: 'act', action })) as ActionResult;
    // Whoever acted sees at once what came of it.
    await this.readOn();
    return result;
  }

  async configure(config: SiteConfig, told: ToldChange = {}): Promise<void> {
    this.#config = config;
    if (this.#writer) return this.#writer.configure(config, told);
    await this.#options.ask({ kind: 'configure', config, told });
    await this.readOn();
  }

  async putIntoForce(proposal: string, changes: AlarmChanges, by: string, why: string): Promise<void> {
    if (this.#writer) return this.#writer.putIntoForce(proposal, changes, by, why);
    await this.#options.ask({ kind: 'force', proposal, changes, by, why });
    await this.readOn();
  }

  async noteClockJump(jumpMs: number): Promise<void> {
    await this.#writer?.noteClockJump(jumpMs);
  }

  async noteFound(throughSeq: number, findings: readonly Finding[]): Promise<void> {
    await this.#writer?.noteFound(throughSeq, findings);
  }

  async stop(): Promise<void> {
    await this.#inTurn(async () => this.#writer?.stop());
  }

  /** Whether a living server has it, ours or another. */
  noteHeld(isHeld: boolean): void {
    if (isHeld === this.#isHeld) return;
    this.#isHeld = isHeld;
    this.#options.onCommitted(this, []);
  }

  /** Folds what another server has written meanwhile. */
  readOn(): Promise<void> {
    return this.#inTurn(() => this.#readOn());
  }

  /** It is ours from now on: goes on from the end of the log. */
  takeUp(epoch: number): Promise<void> {
    return this.#inTurn(async () => {
      if (this.#writer) return;
      await this.#readOn();
      const { store, clock, log, onCommitted, onLost } = this.#options;
      const lost = (): void => {
        if (this.#letGo(writer)) onLost(this);
      };
      const writer = await SiteWriter.open({ siteId: this.siteId, store, clock, log, epoch, onCommitted: (_, effects) => onCommitted(this, effects), onLost: lost }, this.#evaluator);
      this.#writer = writer;
      this.#isHeld = true;
      const config = this.#config ?? (writer.state.config ? null : this.#options.config);
      if (config) await writer.configure(config);
      onCommitted(this, []);
    });
  }

  /** Another server has it: what was not committed here is void. */
  async lose(): Promise<void> {
    this.#writer?.abandon();
    await this.readOn();
  }

  /** Finishes what is under way, saves the state, and goes on as one who reads; the lease is then free to be given. */
  handOver(): Promise<void> {
    return this.#inTurn(async () => {
      const writer = this.#writer;
      if (!writer) return;
      await writer.stop();
      this.#letGo(writer);
    });
  }

  #letGo(writer: SiteWriter): boolean {
    if (this.#writer !== writer) return false;
    this.#writer = null;
    this.#evaluator = writer.state;
    this.#cursors = writer.cursors();
    this.#mustLoad = true;
    this.#options.onCommitted(this, []);
    return true;
  }

  async #readOn(): Promise<void> {
    if (this.#writer) return;
    const { store, log } = this.#options;
    if (this.#mustLoad) {
      this.#evaluator = await loadSite(store, this.siteId, log);
      this.#mustLoad = false;
    }
    const effects: Effects[] = [];
    try {
      for await (const entry of store.readLog(this.siteId, this.#evaluator.seq)) {
        effects.push(this.#evaluator.apply(entry));
        if (entry.kind === 'batch') this.#options.onRead(this.siteId);
        if (entry.kind === 'config' && this.#config && entry.version.split('+')[0] !== hashOf(this.#config)) this.#config = null;
      }
    } catch (error) {
      this.#mustLoad = true;
      throw error;
    } finally {
      if (effects.length > 0) this.#options.onCommitted(this, effects);
    }
    if (effects.length > 0) this.#cursors = [...(await store.cursors(this.siteId))];
  }

  /** Reading on, taking up and handing over never overlap. */
  #inTurn<T>(act: () => Promise<T>): Promise<T> {
    const turn = this.#last.then(act, act);
    this.#last = turn.catch(() => undefined);
    return turn;
  }
}
