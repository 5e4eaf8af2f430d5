import type { Effects } from '../../domain/site/site-effects.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import type { Site } from '../intake/site.ts';
import type { Store } from '../record/store.ts';
import type { ExportJob } from './export-job.ts';
import type { Exporter } from './exporter.ts';

export interface ShiftCloserOptions {
  readonly store: Store;
  readonly exporter: Exporter;
  readonly clock: Clock;
  readonly log: Log;
  readonly version: string;
  readonly dataDir: string;
}

/** What could not be done is tried again so often. */
const AGAIN_MS = 60_000;

/**
 * What follows from the end of a shift and from its second signature: the headline for the list, and the seal. Both are made from the
 * record; a crash in between leaves a shift that waits, and at the next start it is gone on with.
 */
export class ShiftCloser {
  readonly #options: ShiftCloserOptions;
  readonly #writers = new Map<string, Site>();
  readonly #sealing = new Map<string, Promise<void>>();
  readonly #timer: NodeJS.Timeout;
  #working = new Set<Promise<void>>();

  constructor(options: ShiftCloserOptions) {
    this.#options = options;
    this.#timer = setInterval(() => this.#goOn(), AGAIN_MS);
    this.#timer.unref();
  }

  /** A site is ours from now on: goes on with what an earlier run of the program, or its last server, left. */
  async add(writer: Site): Promise<void> {
    this.#writers.set(writer.siteId, writer);
    this.#goOn();
    for (const { shift, headline } of await this.#options.store.shiftRecord.list({ sites: [writer.siteId], limit: 500 })) if (shift.endedAtMs !== null && headline === null) this.#begin(this.#keepHeadline(writer, shift.id));
  }

  /** Told after each commit. */
  note(writer: Site, effects: readonly Effects[]): void {
    if (!writer.isOurs) return;
    for (const { shift } of effects) {
      if (!shift || shift.endedAtMs === null || shift.seal !== null) continue;
      if (shift.signOffs.length === 0) this.#begin(this.#keepHeadline(writer, shift.id));
      if (shift.signOffs.length === 2) this.#begin(this.#seal(writer, shift.id));
    }
  }

  /** Resolves when what was begun is done. */
  async settled(): Promise<void> {
    await Promise.all(this.#working);
  }

  async stop(): Promise<void> {
    clearInterval(this.#timer);
    await this.settled();
  }

  #goOn(): void {
    for (const writer of this.#writers.values()) if (writer.isOurs) for (const { id } of writer.state.unsealedShifts) this.#begin(this.#seal(writer, id));
  }

  #begin(work: Promise<void>): void {
    const guarded = work.catch((error: unknown) => this.#options.log.error({ err: error }, 'a shift could not be closed; it is tried again')).finally(() => this.#working.delete(guarded));
    this.#working.add(guarded);
  }

  #job(writer: Site, shift: string, kind: ExportJob['kind']): ExportJob {
    const { config } = writer.state;
    if (!config) throw new Error(`site ${writer.siteId} has no configuration`);
    const { version, dataDir, clock } = this.#options;
    return { kind, shift, config, version, dataDir, nowMs: clock.nowMs(), points: null };
  }

  async #keepHeadline(writer: Site, shift: string): Promise<void> {
    const { store, exporter } = this.#options;
    const { headline } = await exporter.run(this.#job(writer, shift, 'headline'));
    if (headline) await store.shiftRecord.keepHeadline(shift, headline);
  }

  /** The bundle first, then the entry that names its root: a seal without its bundle must never stand in the record. */
  #seal(writer: Site, shift: string): Promise<void> {
    const standing = this.#sealing.get(shift);
    if (standing) return standing;
    const sealing = (async () => {
      const { store, exporter } = this.#options;
      await this.#keepHeadline(writer, shift);
      const { bytes, root, fingerprint } = await exporter.run(this.#job(writer, shift, 'bundle'));
      if (!bytes || root === undefined || fingerprint === undefined) throw new Error('the bundle has no root');
      await store.underLease(writer.siteId, () => store.shiftRecord.keepBundle(shift, bytes));
      const { refusal } = await writer.act({ kind: 'seal-shift', shift, root, fingerprint, key: `seal-${shift}-${root.slice(0, 16)}`, by: 'potside', role: 'system', from: 'server' });
      if (refusal !== null) throw new Error(`the seal of ${shift} was refused: ${refusal}`);
    })().finally(() => this.#sealing.delete(shift));
    this.#sealing.set(shift, sealing);
    return sealing;
  }
}
