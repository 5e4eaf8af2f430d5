import type { LogEntry } from '../../domain/site/log.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { SiteSnapshot } from '../../domain/site/site-snapshot.ts';
import type { Log } from '../../host/log.ts';
import type { Store } from '../record/store.ts';

/** So many entries of one log may be passed over; more than that is no damaged entry but a damaged program. */
const MOST_PASSED_OVER = 50;

/**
 * A site's state, from its last snapshot and the log after it. An entry that can't be folded is passed over, the same one at every
 * start: one of them must not keep the others from being read.
 */
export async function loadSite(store: Store, siteId: string, log: Log): Promise<SiteEvaluator> {
  const passedOver = new Map<number, unknown>();
  for (;;) {
    const evaluator = fromSnapshot(await store.readSnapshot(siteId), siteId, log);
    const failed = await foldLog(evaluator, store.readLog(siteId, evaluator.seq), passedOver);
    if (!failed) return evaluator;
    if (passedOver.has(failed.entry.seq) || passedOver.size >= MOST_PASSED_OVER) throw failed.error;
    log.error({ err: failed.error, site: siteId, seq: failed.entry.seq }, 'an entry of the log can’t be folded and is passed over');
    passedOver.set(failed.entry.seq, failed.error);
  }
}

function fromSnapshot(snapshot: SiteSnapshot | null, siteId: string, log: Log): SiteEvaluator {
  if (!snapshot) return new SiteEvaluator(siteId);
  try {
    return SiteEvaluator.load(snapshot);
  } catch (error) {
    log.error({ err: error, site: siteId }, 'the saved state can’t be used; the whole log is folded instead');
    return new SiteEvaluator(siteId);
  }
}

async function foldLog(evaluator: SiteEvaluator, entries: AsyncIterable<LogEntry>, passedOver: ReadonlyMap<number, unknown>): Promise<{ entry: LogEntry; error: unknown } | null> {
  for await (const entry of entries) {
    const { seq, atMs, kind } = entry;
    try {
      evaluator.apply(passedOver.has(seq) ? { kind: 'quarantine', seq, atMs, what: kind, reason: String(passedOver.get(seq)), held: '' } : entry);
    } catch (error) {
      return { entry, error };
    }
  }
  return null;
}
