import { useCallback, useEffect, useRef, useState } from 'react';
import { type ShiftQuestion, readShifts } from '../../api/shifts.ts';
import type { ShiftCard } from '../../api/shift-shapes.ts';

export interface ShiftListing {
  readonly cards: readonly ShiftCard[];
  readonly hasOlder: boolean;
  readonly isLoading: boolean;
  readonly failure: string | null;
  older(): void;
}

export type ShiftFilter = Omit<ShiftQuestion, 'cursor' | 'limit'>;

/** A screenful and a half: the rest is asked for. */
const PAGE = 20;
/** While somebody types, the server is not asked at every key. */
const SETTLE_MS = 250;

interface Loaded {
  readonly cards: readonly ShiftCard[];
  readonly next: string | null;
}

/** Recorded shifts newest first, page by page, as narrowed. `changes`: a new text asks again, since a shift may have begun or ended. */
export function useShiftList(filter: ShiftFilter, changes: string): ShiftListing {
  const [loaded, setLoaded] = useState<Loaded>({ cards: [], next: null });
  const [isLoading, setLoading] = useState(true);
  const [failure, setFailure] = useState<string | null>(null);
  const question = useRef(0);
  const key = JSON.stringify(filter);
  const ask = useCallback(
    async (cursor: string | null): Promise<void> => {
      const mine = ++question.current;
      setLoading(true);
      const answer = await readShifts({ ...(JSON.parse(key) as ShiftFilter), cursor, limit: PAGE });
      if (mine !== question.current) return;
      setLoading(false);
      setFailure(answer.ok ? null : answer.detail);
      if (answer.ok) setLoaded((was) => ({ cards: cursor === null ? answer.body.items : [...was.cards, ...answer.body.items], next: answer.body.next }));
    },
    [key],
  );
  useEffect(() => {
    const timer = setTimeout(() => void ask(null), SETTLE_MS);
    return () => clearTimeout(timer);
  }, [ask, changes]);
  return { cards: loaded.cards, hasOlder: loaded.next !== null, isLoading, failure, older: () => void ask(loaded.next) };
}
