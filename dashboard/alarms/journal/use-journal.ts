import { useCallback, useEffect, useRef, useState } from 'react';
import { type JournalEntry, type JournalPage, readJournal } from '../../api/read-journal.ts';

export interface Journal {
  readonly entries: readonly JournalEntry[];
  readonly hasOlder: boolean;
  readonly isLoading: boolean;
  readonly failure: string | null;
  older(): void;
  /** From the newest again. */
  renew(): void;
}

interface Loaded {
  readonly entries: readonly JournalEntry[];
  readonly next: string | null;
}

/** Enough for a shift at a glance, few enough to come at once. */
const PAGE = 100;
const NOTHING: Loaded = { entries: [], next: null };

/** The journal from the newest backwards, page by page. */
export function useJournal(site: string, rig: string | null, alarm: string | null): Journal {
  const [loaded, setLoaded] = useState<Loaded>(NOTHING);
  const [isLoading, setLoading] = useState(true);
  const [failure, setFailure] = useState<string | null>(null);
  const question = useRef(0);

  const ask = useCallback(
    async (cursor: string | null): Promise<void> => {
      const mine = ++question.current;
      setLoading(true);
      const answer = await readJournal({ site, rig, alarm, cursor, limit: PAGE });
      // Somebody has asked for something else meanwhile.
      if (mine !== question.current) return;
      setLoading(false);
      setFailure(answer.ok ? null : answer.detail);
      if (answer.ok) setLoaded((was) => join(cursor === null ? NOTHING : was, answer.body));
    },
    [site, rig, alarm],
  );
  useEffect(() => void ask(null), [ask]);
  return {
    entries: loaded.entries,
    hasOlder: loaded.next !== null,
    isLoading,
    failure,
    older: () => void ask(loaded.next),
    renew: () => void ask(null),
  };
}

function join(was: Loaded, page: JournalPage): Loaded {
  const known = new Set(was.entries.map((entry) => entry.id));
  return { entries: [...was.entries, ...page.items.filter((entry) => !known.has(entry.id))], next: page.next };
}
