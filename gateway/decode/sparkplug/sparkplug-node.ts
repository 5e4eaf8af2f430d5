import type { SparkplugMetric } from './sparkplug-codec.ts';

interface Announced {
  readonly name: string;
  readonly datatype: number;
}

/** What one birth announced: data messages name their metrics by alias and leave the type out. */
interface Birth {
  readonly byAlias: ReadonlyMap<string, Announced>;
  readonly byName: ReadonlyMap<string, Announced>;
}

/** Numbers go round after this (Sparkplug 3.0 §6.4.4). */
const SEQUENCES = 256;
/** An edge node on a bad radio is not asked for its birth at every message. */
const ASK_AGAIN_MS = 10_000;

/** What the gateway knows of one edge node: born or not, what its births announced, and whether a message of it was missed. */
export class SparkplugNode {
  #isBorn = false;
  #bdSeq: number | null = null;
  #lastSeq = 0;
  #hasMissed = false;
  #askedAtMs = Number.NEGATIVE_INFINITY;
  /** By device; the edge node itself under the empty name. */
  readonly #births = new Map<string, Birth>();

  get isBorn(): boolean {
    return this.#isBorn;
  }

  /** True from a missed message to the next birth: an alias may have come to mean something else. */
  get hasMissed(): boolean {
    return this.#hasMissed;
  }

  birth(seq: number, bdSeq: number | null, metrics: readonly SparkplugMetric[]): void {
    this.#isBorn = true;
    this.#bdSeq = bdSeq;
    this.#lastSeq = seq;
    this.#hasMissed = false;
    this.#births.clear();
    this.deviceBirth('', metrics);
  }

  deviceBirth(device: string, metrics: readonly SparkplugMetric[]): void {
    const byAlias = new Map<string, Announced>();
    const byName = new Map<string, Announced>();
    for (const { name, alias, datatype } of metrics) {
      if (name === null) continue;
      const announced = { name, datatype: datatype ?? 0 };
      byName.set(name, announced);
      if (alias !== null) byAlias.set(alias, announced);
    }
    this.#births.set(device, { byAlias, byName });
  }

  deviceDeath(device: string): void {
    this.#births.delete(device);
  }

  /** False where the death is that of an earlier session (Sparkplug 3.0 §5.6): the Will came after the next birth. */
  death(bdSeq: number | null): boolean {
    if (this.#isBorn && bdSeq !== null && this.#bdSeq !== null && bdSeq !== this.#bdSeq) return false;
    this.#isBorn = false;
    this.#births.clear();
    return true;
  }

  hasAnnounced(device: string): boolean {
    return this.#births.has(device);
  }

  /** The metric's name and data type, by alias where the message leaves the name out. */
  announced(device: string, { name, alias }: SparkplugMetric): Announced | undefined {
    const birth = this.#births.get(device);
    if (name !== null) return birth?.byName.get(name) ?? { name, datatype: 0 };
    return alias === null ? undefined : birth?.byAlias.get(alias);
  }

  /** Notes a message's number: 0 follows 255; the same once more is a repeat. */
  follow(seq: number): void {
    if (seq !== this.#lastSeq && seq !== (this.#lastSeq + 1) % SEQUENCES) this.#hasMissed = true;
    this.#lastSeq = seq;
  }

  /** For a time nobody was listening. */
  miss(): void {
    this.#hasMissed = true;
  }

  /** True where the birth may be asked for now; notes that it was. */
  ask(nowMs: number): boolean {
    if (Math.abs(nowMs - this.#askedAtMs) < ASK_AGAIN_MS) return false;
    this.#askedAtMs = nowMs;
    return true;
  }
}
