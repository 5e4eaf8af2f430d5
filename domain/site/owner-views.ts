import { OwnerView, type SiteSight } from './owner-view.ts';
import type { Owner, Topology } from './topology.ts';

/** The views of a site's owners, made when they are first asked for. */
export class OwnerViews {
  readonly #sight: SiteSight;
  readonly #topology: () => Topology | null;
  readonly #views = new Map<string, OwnerView>();

  constructor(sight: SiteSight, topology: () => Topology | null) {
    this.#sight = sight;
    this.#topology = topology;
  }

  of(owner: Owner): OwnerView {
    let view = this.#views.get(owner.id);
    if (!view) {
      const rigs = owner.serves.map((rig) => this.#topology()?.owners.get(rig)).filter((rig) => rig !== undefined);
      this.#views.set(owner.id, (view = new OwnerView(owner, this.#sight, rigs.map((rig) => this.of(rig)))));
    } else if (view.owner !== owner) view.refit(owner);
    return view;
  }

  /** A point has appeared. */
  forgetPoints(): void {
    for (const view of this.#views.values()) view.forget();
  }

  clear(): void {
    this.#views.clear();
  }
}
