import type { UplinkAck, UplinkBatch } from '../../domain/wire/uplink.ts';
import type { Log } from '../../host/log.ts';
import type { Outbox } from '../outbox/outbox.ts';
import { backOffMs, type Pace } from '../../host/back-off.ts';

/** Hands a batch to a server and answers once the server has committed it. */
export type Deliver = (batch: UplinkBatch) => Promise<UplinkAck>;

/** Readings in one batch at most: a backlog goes out in pieces that a server takes in some tens of milliseconds. */
const BATCH = 2_000;
/** A server that is back is found within half a minute. */
const PACE: Pace = { firstMs: 100, longestMs: 30_000 };

/** Empties the outbox into a server, in order, one batch at a time; a batch that failed is sent again. */
export class Uplink {
  readonly #outbox: Outbox;
  readonly #deliver: Deliver;
  readonly #site: string;
  readonly #log: Log;
  #committed = 0;
  #stopped = false;
  #endSleep: (() => void) | null = null;
  #isIdle = false;
  readonly #done: Promise<void>;

  constructor(options: { outbox: Outbox; deliver: Deliver; site: string; log: Log }) {
    this.#outbox = options.outbox;
    this.#deliver = options.deliver;
    this.#site = options.site;
    this.#log = options.log;
    this.#outbox.onAdded(() => {
      if (this.#isIdle) this.#endSleep?.();
    });
    this.#done = this.#run();
  }

  /** Stops after the batch under way. */
  async stop(): Promise<void> {
    this.#stopped = true;
    this.#endSleep?.();
    await this.#done;
  }

  async #run(): Promise<void> {
    let failures = 0;
    while (!this.#stopped) {
      const readings = this.#outbox.read(this.#committed, BATCH);
      if (readings.length === 0) {
        await this.#sleep(null);
        continue;
      }
      try {
        const { gateway, epoch } = this.#outbox;
        const ack = await this.#deliver({ site: this.#site, gateway, epoch, readings });
        this.#committed = ack.committed;
        this.#outbox.release(ack.committed);
        failures = 0;
      } catch (error) {
        failures += 1;
        this.#log.error({ err: error, failures }, 'the server did not take a batch; it stays on disk and is sent again');
        await this.#sleep(backOffMs(failures, Math.random(), PACE));
      }
    }
  }

  /** Sleeps until a reading is added (idle, `ms` null) or for `ms` (backing off); stopping ends either. */
  #sleep(ms: number | null): Promise<void> {
    if (this.#stopped) return Promise.resolve();
    return new Promise((resolve) => {
      const timer = ms === null ? null : setTimeout(() => this.#endSleep?.(), ms);
      this.#isIdle = ms === null;
      this.#endSleep = () => {
        if (timer) clearTimeout(timer);
        this.#endSleep = null;
        this.#isIdle = false;
        resolve();
      };
    });
  }
}
