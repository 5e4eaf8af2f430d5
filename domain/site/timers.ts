/**
 * Named moments at which something falls due. Taken in order of time, then of name, so that a replay takes them alike.
 * A sorted scan over some tens of names: `nextAtMs` is a lower bound, kept so that an entry with nothing due costs one comparison.
 */
export class Timers {
  readonly #dueAtMs = new Map<string, number>();
  #nextAtMs = Number.POSITIVE_INFINITY;

  /** Never later than the earliest moment set. */
  get nextAtMs(): number {
    return this.#nextAtMs;
  }

  /** Sets or, with null, clears. */
  set(id: string, atMs: number | null): void {
    if (atMs === null) {
      this.#dueAtMs.delete(id);
      return;
    }
    this.#dueAtMs.set(id, atMs);
    if (atMs < this.#nextAtMs) this.#nextAtMs = atMs;
  }

  setIfSooner(id: string, atMs: number): void {
    const standing = this.#dueAtMs.get(id);
    if (standing === undefined || atMs < standing) this.set(id, atMs);
  }

  clear(id: string): void {
    this.#dueAtMs.delete(id);
  }

  /** Removes and returns the first moment at or before `untilMs`, or undefined when none is left. */
  take(untilMs: number): { id: string; atMs: number } | undefined {
    if (this.#nextAtMs > untilMs) return undefined;
    let first: { id: string; atMs: number } | undefined;
    for (const [id, atMs] of this.#dueAtMs) {
      if (!first || atMs < first.atMs || (atMs === first.atMs && id < first.id)) first = { id, atMs };
    }
    this.#nextAtMs = first?.atMs ?? Number.POSITIVE_INFINITY;
    if (!first || first.atMs > untilMs) return undefined;
    this.#dueAtMs.delete(first.id);
    return first;
  }

  save(): [string, number][] {
    return [...this.#dueAtMs];
  }

  static load(saved: readonly (readonly [string, number])[]): Timers {
    const timers = new Timers();
    for (const [id, atMs] of saved) timers.set(id, atMs);
    return timers;
  }
}
