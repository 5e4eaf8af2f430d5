import { useCallback, useEffect, useState } from 'react';
import { type Demonstration, endDemonstration, readDemonstration, startDemonstration } from '../../../api/demonstration.ts';
import type { Answer } from '../../../api/call-api.ts';

export interface HeldDemonstration {
  /** Null until the server has answered. */
  readonly now: Demonstration | null;
  /** Why the server could not be asked; empty where it does not answer. */
  readonly failure: string | null;
  readonly start: () => void;
  readonly end: () => void;
}

const LOOK_AGAIN_MS = 1_000;
const STARTING: Demonstration = { state: 'starting', url: null, people: [], why: null };

/** The demonstration as the server tells of it; looked at again while it starts or runs, since it may end by itself. */
export function useDemonstration(): HeldDemonstration {
  const [held, setHeld] = useState<Pick<HeldDemonstration, 'now' | 'failure'>>({ now: null, failure: null });
  const take = useCallback((answer: Answer<Demonstration>): void => setHeld((was) => (answer.ok ? { now: answer.body, failure: null } : { now: was.now, failure: answer.detail })), []);
  const start = useCallback((): void => {
    setHeld({ now: STARTING, failure: null });
    void startDemonstration().then((answer) => (answer.ok ? take(answer) : setHeld({ now: null, failure: answer.detail })));
  }, [take]);
  const end = useCallback((): void => void endDemonstration().then(take), [take]);
  useEffect(() => void readDemonstration().then(take), [take]);
  const isOn = held.now?.state === 'starting' || held.now?.state === 'running';
  useEffect(() => {
    if (!isOn) return undefined;
    const timer = setInterval(() => void readDemonstration().then(take), LOOK_AGAIN_MS);
    return () => clearInterval(timer);
  }, [isOn, take]);
  return { ...held, start, end };
}
