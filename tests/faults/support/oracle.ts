import { closeSync, fsyncSync, openSync, writeSync } from 'node:fs';
import mqtt, { type MqttClient } from 'mqtt';

export interface Sent {
  readonly rig: string;
  readonly point: string;
  readonly value: number;
  /** The sensor's own time, Unix ms. */
  readonly atMs: number;
}

/**
 * The sensors, and what is true about them: each reading is in a file of its own, synced, before it is sent. Every value of a rig's pot
 * pressure is its own number; each rig's CO goes over the limit at most once and stays there.
 */
export class Oracle {
  readonly sent: Sent[] = [];
  readonly acknowledged = new Set<number>();
  readonly #acknowledgedAt = new Map<number, number>();
  readonly rigs: readonly string[];
  readonly #file: number;
  readonly #url: () => string;
  readonly #random: () => number;
  readonly #high = new Set<string>();
  #client: MqttClient | null = null;
  #doubted: MqttClient | null = null;
  #numbers = 0;
  #isStopped = false;
  #done: Promise<void> = Promise.resolve();

  constructor(file: string, rigs: readonly string[], url: () => string, random: () => number) {
    this.#file = openSync(file, 'a');
    this.rigs = rigs;
    this.#url = url;
    this.#random = random;
  }

  /** Sends until it is stopped, connecting again for as long as it takes. What is under way when a connection breaks is not sent again. */
  start(): void {
    this.#done = this.#run();
  }

  /** Lets one more rig's CO go over its limit. */
  raiseOne(): void {
    const quiet = this.rigs.filter((rig) => !this.#high.has(rig));
    const rig = quiet[Math.floor(this.#random() * quiet.length)];
    if (rig !== undefined) this.#high.add(rig);
  }

  /** Ends with one more reading of each rig's CO, sent over a connection that holds. */
  async stop(): Promise<void> {
    this.#isStopped = true;
    await this.#done;
    this.#client?.end(true);
    const last = await mqtt.connectAsync(this.#url(), { reconnectPeriod: 200 });
    this.#client = last;
    this.#publish(last, this.rigs.map((rig) => this.#coOf(rig)));
    // What is under way may still be acknowledged.
    await new Promise((resolve) => setTimeout(resolve, 300));
    await this.#client?.endAsync(true);
    closeSync(this.#file);
  }

  async #run(): Promise<void> {
    while (!this.#isStopped) {
      if (!this.#client?.connected) {
        this.#client?.end(true);
        // Without retries: a connection that is closed before it was greeted would else be waited for for ever.
        this.#client = await mqtt.connectAsync(this.#url(), { reconnectPeriod: 0, connectTimeout: 1_000 }, false).catch(() => null);
        this.#client?.on('error', () => undefined);
      }
      if (this.#client) this.#burst(this.#client);
      await new Promise((resolve) => setTimeout(resolve, 20 + this.#random() * 30));
    }
  }

  #burst(client: MqttClient): void {
    const rig = this.rigs[Math.floor(this.#random() * this.rigs.length)] ?? '';
    this.#publish(client, [...Array.from({ length: 4 }, () => [this.rigs[0] ?? '', 'pot-pressure', this.#numbers++ / 10] as const), this.#coOf(rig)]);
  }

  #note(at: number, from: MqttClient): void {
    if (from === this.#doubted) return;
    this.acknowledged.add(at);
    this.#acknowledgedAt.set(at, performance.now());
  }

  /**
   * Takes back what was acknowledged during the last `ms`, and what still comes over the connection of now: the word of a broker that
   * is killed at once and may not have kept it.
   */
  doubtLast(ms: number): void {
    this.#doubted = this.#client;
    const since = performance.now() - ms;
    for (const [at, whenMs] of this.#acknowledgedAt) if (whenMs >= since) this.acknowledged.delete(at);
  }

  #coOf(rig: string): readonly [string, string, number] {
    return [rig, 'breathing-air-co', this.#high.has(rig) ? 15 : 2];
  }

  #publish(client: MqttClient, readings: readonly (readonly [rig: string, point: string, value: number])[]): void {
    const first = this.sent.length;
    // A whole ms earlier than it can be received, so that the time is the sensor's.
    const atMs = Date.now() - 1;
    for (const [rig, point, value] of readings) this.sent.push({ rig, point, value, atMs });
    writeSync(this.#file, this.sent.slice(first).map((one) => `${JSON.stringify(one)}\n`).join(''));
    fsyncSync(this.#file);
    readings.forEach(([rig, point, value], index) => {
      client.publishAsync(`potside/checked/${rig}/${point}`, JSON.stringify({ v: value, t: atMs / 1000 }), { qos: 1 }).then(() => this.#note(first + index, client), () => undefined);
    });
  }
}
