import type { QualityReason } from '../../domain/points/reading.ts';
import type { Origins, Samples } from './blocks/sample-block.ts';

/** Collects the rows of one block. */
export class BlockRows {
  readonly #atMs: number[] = [];
  readonly #receivedMs: number[] = [];
  readonly #value: number[] = [];
  readonly #mark: number[] = [];
  readonly #reason: (QualityReason | null)[] = [];
  readonly #id: number[] = [];
  readonly #sequence: number[] = [];

  add(atMs: number, receivedMs: number, value: number | null, mark: number, reason: QualityReason | null, id: number, sequence: number): void {
    this.#atMs.push(atMs);
    this.#receivedMs.push(receivedMs);
    this.#value.push(value ?? Number.NaN);
    this.#mark.push(mark);
    this.#reason.push(reason);
    this.#id.push(id);
    this.#sequence.push(sequence);
  }

  /** By time, and where that is the same, as they came. */
  inOrder(): { samples: Samples; origins: Origins } {
    const order = this.#atMs.map((_, i) => i).sort((a, b) => (this.#atMs[a] ?? 0) - (this.#atMs[b] ?? 0) || a - b);
    const column = (from: readonly number[]): Float64Array => Float64Array.from(order, (i) => from[i] ?? Number.NaN);
    return {
      samples: { atMs: column(this.#atMs), value: column(this.#value), mark: Uint8Array.from(order, (i) => this.#mark[i] ?? 0) },
      origins: { receivedMs: column(this.#receivedMs), id: column(this.#id), sequence: column(this.#sequence), reason: order.map((i) => this.#reason[i] ?? null) },
    };
  }
}
