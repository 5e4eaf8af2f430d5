/** So many messages on topics that nobody knows at once, and so many a second over time: a device that was set up wrong sends fewer. */
const BURST = 1_000;
const PER_SECOND = 50;

interface Bucket {
  left: number;
  atMs: number;
}

/** Counts what one client publishes for nobody. A flood of it costs time and log lines that belong to the sensors. */
export class UnknownTopics {
  readonly #buckets = new WeakMap<object, Bucket>();

  /** False once this client has sent too many. `nowMs` is monotonic. */
  allows(client: object, nowMs: number): boolean {
    const held = this.#buckets.get(client) ?? { left: BURST, atMs: nowMs };
    const left = Math.min(BURST, held.left + ((nowMs - held.atMs) / 1000) * PER_SECOND) - 1;
    this.#buckets.set(client, { left: Math.max(left, -1), atMs: nowMs });
    return left >= 0;
  }
}
