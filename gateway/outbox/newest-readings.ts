import type { SequencedReading } from '../../domain/wire/uplink.ts';

/** More than one batch: a live lane that keeps up never asks for older ones. */
const KEPT = 1_024;

/** The newest of what is on the disk, without a gap: the live lane asks for just these a moment later, and the disk need not be read. */
export class NewestReadings {
  #readings: SequencedReading[] = [];

  /** They are on the disk, and follow the ones before. */
  add(readings: readonly SequencedReading[]): void {
    for (const reading of readings) this.#readings.push(reading);
    if (this.#readings.length > 2 * KEPT) this.#readings = this.#readings.slice(-KEPT);
  }

  /** Everything up to here is gone from the disk. */
  forget(through: number): void {
    const first = this.#readings[0]?.sequence;
    if (first !== undefined && through >= first) this.#readings = this.#readings.slice(through - first + 1);
  }

  /** Some of them may be gone from the disk. */
  clear(): void {
    this.#readings = [];
  }

  /** The oldest above `after`, not above `through`; null where that reaches further back than what is kept. */
  read(after: number, limit: number, through: number): readonly SequencedReading[] | null {
    const first = this.#readings[0]?.sequence;
    if (first === undefined || after < first - 1) return null;
    const from = after - first + 1;
    return this.#readings.slice(from, Math.min(from + limit, Math.max(from, through - first + 1)));
  }
}
