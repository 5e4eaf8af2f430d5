import { randomUUID } from 'node:crypto';
import type { BrokerConfig } from '../domain/shift/site-config.ts';
import type { Log } from '../host/log.ts';
import { connectMqttSource, type MqttSource } from './broker/mqtt-source.ts';
import type { Message } from './take-in.ts';

/** So long after somebody last looked. */
const LOOK_MS = 60_000;

export interface LookAroundOptions {
  readonly broker: BrokerConfig;
  /** Told every message that is heard. */
  readonly note: (message: Message) => void;
  readonly log: Log;
}

/**
 * Hears everything at a broker that is not ours while somebody maps points: on a connection and without a session of its own, so that
 * nothing of it is stored, here or there, and the way in of the readings is not touched.
 */
export class LookAround {
  readonly #options: LookAroundOptions;
  #source: MqttSource | null = null;
  #timer: NodeJS.Timeout | null = null;

  constructor(options: LookAroundOptions) {
    this.#options = options;
  }

  /** Begins, or goes on for another minute. */
  look(): void {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.stop(), LOOK_MS);
    this.#timer.unref();
    const { broker, note, log } = this.#options;
    this.#source ??= connectMqttSource({
      broker,
      clientId: `potside-look-${randomUUID().slice(0, 8)}`,
      filters: ['#'],
      keepsSession: false,
      take: (message) => {
        note(message);
        return Promise.resolve();
      },
      onConnected: () => undefined,
      log,
    });
  }

  async stop(): Promise<void> {
    if (this.#timer) clearTimeout(this.#timer);
    const source = this.#source;
    [this.#source, this.#timer] = [null, null];
    await source?.stop();
  }
}
