import { useCallback, useEffect, useRef, useState } from 'react';
import type { Answer } from '../api/call-api.ts';
import { useSeat } from './desk-context.ts';

export interface Asked<T> {
  /** Null until the first answer; kept while it is asked anew. */
  readonly body: T | null;
  /** Why there is none; empty where the server does not answer. */
  readonly failure: string | null;
  again(): void;
}

/** Asks once per `key`, and whenever told to; an answer to an older question is dropped. */
export function useAnswer<T>(key: string, ask: () => Promise<Answer<T>>): Asked<T> {
  const { words } = useSeat();
  const [shown, setShown] = useState<{ readonly key: string; readonly body: T | null; readonly failure: string | null }>({ key, body: null, failure: null });
  const question = useRef(0);
  const newest = useRef(ask);
  newest.current = ask;
  const again = useCallback(() => {
    const mine = ++question.current;
    void newest.current().then((answer) => {
      if (mine !== question.current) return;
      setShown((was) => (answer.ok ? { key, body: answer.body, failure: null } : { key, body: was.key === key ? was.body : null, failure: answer.detail }));
    });
  }, [key]);
  useEffect(() => {
    again();
    return () => void question.current++;
  }, [again]);
  return { body: shown.key === key ? shown.body : null, failure: shown.key === key && shown.failure !== null ? words.problem(shown.failure) : null, again };
}
