import { useEffect, useState } from 'react';
import type { Answer } from '../../api/call-api.ts';
import { type AlarmMetrics, readAlarmMetrics } from '../../api/read-alarm-metrics.ts';
import { type JournalEntry, readJournal } from '../../api/read-journal.ts';
import { type Window, countWindows } from './count-windows.ts';

export interface MetricsShown {
  readonly answer: Answer<AlarmMetrics> | null;
  /** Null while they are being counted. */
  readonly windows: readonly Window[] | null;
  /** Set where the journal was too long to be counted back to the beginning of the period. */
  readonly countedFromMs: number | null;
}

const NOTHING: MetricsShown = { answer: null, windows: null, countedFromMs: null };
const PAGE = 500;
const MOST_PAGES = 20;

/** The server's figures, and the course of the calls counted from its journal. For the moment at which they were asked for. */
export function useAlarmMetrics(site: string, rig: string | null, periodMs: number, nowMs: number | null): MetricsShown {
  const [shown, setShown] = useState(NOTHING);
  const isReady = nowMs !== null;
  useEffect(() => {
    if (nowMs === null) return;
    let isCurrent = true;
    const fromMs = nowMs - periodMs;
    setShown(NOTHING);
    void readAlarmMetrics({ site, rig, fromMs, toMs: nowMs }).then((answer) => isCurrent && setShown((was) => ({ ...was, answer })));
    void readBack(site, rig, fromMs, () => isCurrent).then((read) => {
      if (!isCurrent || !read) return;
      const { entries, reachedMs } = read;
      setShown((was) => ({ ...was, windows: countWindows(entries, reachedMs, nowMs), countedFromMs: reachedMs > fromMs ? reachedMs : null }));
    });
    return () => {
      isCurrent = false;
    };
    // Figures of a day need no second-by-second renewal: the time counts only when first known.
  }, [site, rig, periodMs, isReady]);
  return shown;
}

/** The journal from its newest entry back to an instant, or as far as is bearable. */
async function readBack(site: string, rig: string | null, fromMs: number, isWanted: () => boolean): Promise<{ entries: readonly JournalEntry[]; reachedMs: number } | null> {
  const entries: JournalEntry[] = [];
  let cursor: string | null = null;
  for (let page = 0; page < MOST_PAGES && isWanted(); page++) {
    const answer = await readJournal({ site, rig, alarm: null, cursor, limit: PAGE });
    if (!answer.ok) break;
    entries.push(...answer.body.items);
    cursor = answer.body.next;
    const oldest = entries.at(-1);
    if (cursor === null || (oldest && Date.parse(oldest.at) < fromMs)) return { entries, reachedMs: fromMs };
  }
  const oldest = entries.at(-1);
  // A journal that could not be read is no quiet time.
  return oldest ? { entries, reachedMs: Math.max(fromMs, Date.parse(oldest.at)) } : null;
}
