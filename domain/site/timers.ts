interface Due {
  readonly id: string;
  readonly atMs: number;
}

/** Moments set anew or cleared stay in the heap until they come to its top; more of them than this and than those that hold are swept. */
const MOST_OUTDATED = 64;

/**
 * Named moments at which something falls due. Taken in order of time, then of name, so that a replay takes them alike.
 * A binary heap: a site of two hundred rigs has some thousands of them, and hundreds fall due on each second.
 */
export class Timers {
  /** What holds, by name. */
  readonly #dueAtMs = new Map<string, number>();
  #heap: Due[] = [];

  /** The earliest moment set; Infinity where there is none. */
  get nextAtMs(): number {
    return this.#first()?.atMs ?? Number.POSITIVE_INFINITY;
  }

  /** Sets or, with null, clears. */
  set(id: string, atMs: number | null): void {
    if (atMs === null) {
      this.#dueAtMs.delete(id);
      return;
    }
    if (this.#dueAtMs.get(id) === atMs) return;
    this.#dueAtMs.set(id, atMs);
    if (this.#heap.length > 2 * this.#dueAtMs.size + MOST_OUTDATED) this.#sweep();
    else rise(this.#heap, this.#heap.push({ id, atMs }) - 1);
  }

  setIfSooner(id: string, atMs: number): void {
    const standing = this.#dueAtMs.get(id);
    if (standing === undefined || atMs < standing) this.set(id, atMs);
  }

  clear(id: string): void {
    this.#dueAtMs.delete(id);
  }

  /** Removes and returns the first moment at or before `untilMs`, or undefined when none is left. */
  take(untilMs: number): Due | undefined {
    const first = this.#first();
    if (!first || first.atMs > untilMs) return undefined;
    this.#dueAtMs.delete(first.id);
    dropFirst(this.#heap);
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

  /** The first that holds; what was before it and does not goes. */
  #first(): Due | undefined {
    for (let first = this.#heap[0]; first; first = this.#heap[0]) {
      if (this.#dueAtMs.get(first.id) === first.atMs) return first;
      dropFirst(this.#heap);
    }
    return undefined;
  }

  #sweep(): void {
    this.#heap = [...this.#dueAtMs].map(([id, atMs]) => ({ id, atMs })).sort((a, b) => (isBefore(a, b) ? -1 : 1));
  }
}

function isBefore(a: Due, b: Due): boolean {
  return a.atMs < b.atMs || (a.atMs === b.atMs && a.id < b.id);
}

/** Lets the entry at `at` rise to its place. */
function rise(heap: Due[], at: number): void {
  const due = heap[at] as Due;
  for (let above = (at - 1) >> 1; at > 0 && isBefore(due, heap[above] as Due); at = above, above = (at - 1) >> 1) heap[at] = heap[above] as Due;
  heap[at] = due;
}

function dropFirst(heap: Due[]): void {
  const due = heap.pop();
  if (!due || heap.length === 0) return;
  let at = 0;
  for (let below = 1; below < heap.length; below = 2 * at + 1) {
    if (below + 1 < heap.length && isBefore(heap[below + 1] as Due, heap[below] as Due)) below += 1;
    if (!isBefore(heap[below] as Due, due)) break;
    heap[at] = heap[below] as Due;
    at = below;
  }
  heap[at] = due;
}
