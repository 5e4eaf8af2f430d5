import { NO_SITUATION, type Situation, type SiteSituation } from '../alarms/situation.ts';
import type { View } from '../alarms/view.ts';
import type { PointState } from './point-state.ts';
import type { Owner } from './topology.ts';

/** What views read of a site's state. */
export interface SiteSight {
  see(owner: Owner, id: string): PointState | undefined;
  situation(rig: string): Situation;
  siteSituation(): SiteSituation;
  /** Since when the rig blasts; null while it does not. */
  blastingSince(rig: string): number | null;
  /** Since when its handle has been held, or its nozzle under flow where that is not known; null while neither. */
  startedMs(rig: string): number | null;
  stands(key: string): boolean;
}

/** An owner as alarm tests see it. One object for each owner, used again for each test. */
export class OwnerView implements View {
  atMs = 0;
  limit: number | null = null;
  point = '';
  value: number | null = null;
  memory: unknown = undefined;
  againAtMs: number | null = null;
  readonly rigs: readonly OwnerView[];
  readonly respiratorLow: number | null;
  /** True where the compressor carries this rig alone, so that its meter is this rig's. */
  readonly hasOwnCompressor: boolean;
  /** Once a point is seen it stays the one that is seen: a nearer one is made known by `forget`. */
  readonly #known = new Map<string, PointState>();
  #owner: Owner;
  readonly #sight: SiteSight;

  constructor(owner: Owner, sight: SiteSight, rigs: readonly OwnerView[]) {
    this.#owner = owner;
    this.#sight = sight;
    this.rigs = rigs;
    this.hasOwnCompressor = owner.hasOwnCompressor;
    this.respiratorLow = owner.respirator?.low ?? null;
  }

  /** What it belongs to, as configured and fitted. */
  get owner(): Owner {
    return this.#owner;
  }

  /** It was fitted out anew. */
  refit(owner: Owner): void {
    this.#owner = owner;
  }

  /** Metres above sea level. */
  get elevation(): number {
    return this.#owner.setup.elevation;
  }

  get situation(): Situation {
    return this.#owner.kind === 'rig' ? this.#sight.situation(this.#owner.id) : NO_SITUATION;
  }

  get site(): SiteSituation {
    return this.#sight.siteSituation();
  }

  get isBlasting(): boolean {
    return this.#sight.blastingSince(this.#owner.id) !== null;
  }

  get lastStartMs(): number | null {
    let last: number | null = null;
    for (const rig of this.#owner.neighbours) {
      const since = this.#sight.startedMs(rig);
      if (since !== null && (last === null || since > last)) last = since;
    }
    return last;
  }

  /** A point has appeared. */
  forget(): void {
    this.#known.clear();
  }

  stands(rule: string, point: string): boolean {
    return this.#sight.stands(`${rule}@${this.#owner.id}/${point}`);
  }

  /** Bound: tests take it apart. */
  readonly see = (id: string): PointState | undefined => {
    const known = this.#known.get(id);
    if (known) return known;
    const point = this.#sight.see(this.#owner, id);
    if (point) this.#known.set(id, point);
    return point;
  };
}
