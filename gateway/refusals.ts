import type { Refusal, RefusalReason } from '../domain/wire/refusal.ts';

const KEPT = 100;

/** The last hundred messages set aside, and how many of each reason since the start. */
export class Refusals {
  readonly #latest: Refusal[] = [];
  readonly #counts = new Map<RefusalReason, number>();

  add(refusal: Refusal): void {
    this.#latest.push(refusal);
    if (this.#latest.length > KEPT) this.#latest.shift();
    this.#counts.set(refusal.reason, (this.#counts.get(refusal.reason) ?? 0) + 1);
  }

  /** Newest first. */
  latest(): Refusal[] {
    return this.#latest.toReversed();
  }

  counts(): Readonly<Record<string, number>> {
    return Object.fromEntries(this.#counts);
  }
}
