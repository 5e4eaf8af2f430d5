import type { Store } from '../record/store.ts';
import { maySeeSite } from './reach.ts';

/**
 * The record as whoever asks may read it: a method whose first argument is a foreign site throws, and what is found under an id of its
 * own is not there when it is a foreign site's. A second lock behind the sites' own map (decision 0016).
 */
export function storeWithinReach(store: Store, sites: ReadonlyMap<string, unknown>): Store {
  return new Proxy(store, {
    get(target, name) {
      const held: unknown = Reflect.get(target, name, target);
      if (typeof held !== 'function') return held;
      return (...said: unknown[]): unknown => {
        const [site] = said;
        if (typeof site === 'string' && sites.has(site) && !maySeeSite(site)) throw new Error(`a route read site ${site} for somebody who may not see it`);
        const found: unknown = Reflect.apply(held, target, said);
        return found instanceof Promise ? found.then((one: unknown) => (isOfForeignSite(one, sites) ? null : one)) : found;
      };
    },
  });
}

function isOfForeignSite(found: unknown, sites: ReadonlyMap<string, unknown>): boolean {
  if (found === null || typeof found !== 'object' || !('site' in found)) return false;
  return typeof found.site === 'string' && sites.has(found.site) && !maySeeSite(found.site);
}
