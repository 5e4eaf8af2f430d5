import { type PointKey, pointKey } from '../points/reading.ts';
import { type PointState, staleAfterMs } from './point-state.ts';
import type { Owner } from './topology.ts';

/** The points of a site, and how each owner sees them. */
export class SitePoints {
  readonly #byKey: Map<PointKey, PointState>;
  /** Owner → point id → state, as that owner sees it; filled as it is asked for, emptied when a point appears. */
  readonly #seen = new Map<string, Map<string, PointState | null>>();

  constructor(byKey = new Map<PointKey, PointState>()) {
    this.#byKey = byKey;
  }

  all(): ReadonlyMap<PointKey, PointState> {
    return this.#byKey;
  }

  get(owner: string, id: string): PointState | undefined {
    return this.#byKey.get(pointKey(owner, id));
  }

  add(point: PointState): void {
    this.#byKey.set(point.key, point);
    this.#seen.clear();
  }

  /**
   * After a stretch in which nobody listened, each point that still counted is given its time to speak anew. What is older by now than
   * silence may last is doubtful until then, and so are the points this answers with: it must not look live because we did not look.
   */
  hearAgain(fromMs: number, atMs: number): PointState[] {
    const doubtful: PointState[] = [];
    for (const point of this.#byKey.values()) {
      if (point.staleAtMs === null || point.staleAtMs <= fromMs) continue;
      const mayBeSilentMs = staleAfterMs(point.kind, point.everyMs);
      point.staleAtMs = Math.max(point.staleAtMs, atMs + mayBeSilentMs);
      if (point.quality !== 'good' || point.observedAtMs === null || atMs - point.observedAtMs < mayBeSilentMs) continue;
      point.quality = 'uncertain';
      point.reason = 'stale';
      doubtful.push(point);
    }
    return doubtful;
  }

  /** Drops the points whose owner is gone. */
  keepOf(hasOwner: (owner: string) => boolean): void {
    for (const [key, point] of this.#byKey) if (!hasOwner(point.owner)) this.#byKey.delete(key);
    this.#seen.clear();
  }

  /** A point as an owner sees it: its own, else its compressor's, else its site's. */
  see(owner: Owner, id: string): PointState | undefined {
    let seen = this.#seen.get(owner.id);
    if (!seen) this.#seen.set(owner.id, (seen = new Map<string, PointState | null>()));
    let point = seen.get(id);
    if (point === undefined) {
      point = owner.sees.map((other) => this.get(other, id)).find((found) => found !== undefined) ?? null;
      seen.set(id, point);
    }
    return point ?? undefined;
  }
}
