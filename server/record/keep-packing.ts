import type { Log } from '../../host/log.ts';
import type { Store } from './store.ts';

const EVERY_MS = 60_000;

/** Packs what is over, now and from then on, and has something done after each round. Answers with what stops it. */
export function keepPacking(store: Pick<Store, 'packNext'>, sites: () => readonly string[], log: Log, afterwards: (site: string) => Promise<void>, everyMs = EVERY_MS): () => Promise<void> {
  const stopping = new AbortController();
  let working: Promise<void> | null = null;
  const work = async (): Promise<void> => {
    for (const site of sites()) {
      try {
        while (await store.packNext(site, stopping.signal));
        await afterwards(site);
      } catch (error) {
        // Nothing is lost: the rows stay, and the next round begins where this one did.
        if (!stopping.signal.aborted) log.error({ err: error, site }, 'an hour of the record could not be packed');
      }
    }
    working = null;
  };
  const start = (): void => void (working ??= work());
  start();
  const timer = setInterval(start, everyMs);
  timer.unref();
  return async () => {
    clearInterval(timer);
    stopping.abort();
    await working;
  };
}
