import { AsyncLocalStorage } from 'node:async_hooks';

/** The sites that somebody may see; null stands for all of them. */
export type Reach = readonly string[] | null;

export function reaches(reach: Reach, site: string): boolean {
  return reach === null || reach.includes(site);
}

const current = new AsyncLocalStorage<Reach>();

/** Runs what follows within somebody's reach: maps made by `withinReach` show these sites and no others. */
export function runWithin<T>(reach: Reach, act: () => T): T {
  return current.run(reach, act);
}

/** Nothing at all outside of `runWithin`: what forgot to say who asks, sees nothing. */
function isWithin(site: string): boolean {
  const reach = current.getStore();
  return reach !== undefined && reaches(reach, site);
}

/**
 * The sites of whoever asks, under the interface of the map of all. A route that knows nothing of sites per person still can't reach a
 * foreign one (decision 0016).
 */
export function withinReach<V>(all: ReadonlyMap<string, V>): ReadonlyMap<string, V> {
  return new Reachable(all);
}

class Reachable<V> implements ReadonlyMap<string, V> {
  readonly #all: ReadonlyMap<string, V>;

  constructor(all: ReadonlyMap<string, V>) {
    this.#all = all;
  }

  get size(): number {
    return [...this.keys()].length;
  }

  get(site: string): V | undefined {
    return isWithin(site) ? this.#all.get(site) : undefined;
  }

  has(site: string): boolean {
    return isWithin(site) && this.#all.has(site);
  }

  *entries(): MapIterator<[string, V]> {
    for (const entry of this.#all) if (isWithin(entry[0])) yield entry;
  }

  *keys(): MapIterator<string> {
    for (const [site] of this.entries()) yield site;
  }

  *values(): MapIterator<V> {
    for (const [, held] of this.entries()) yield held;
  }

  forEach(act: (value: V, key: string, map: ReadonlyMap<string, V>) => void): void {
    for (const [site, held] of this.entries()) act(held, site, this);
  }

  [Symbol.iterator](): MapIterator<[string, V]> {
    return this.entries();
  }
}

/** True where whoever asks may see this site. */
export function maySeeSite(site: string): boolean {
  return isWithin(site);
}
