import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { WireReadiness } from '../../domain/wire/readiness.ts';
import { readReadiness } from '../api/readiness.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { tellCheck } from './tell-check.ts';

export interface ReadinessFeed {
  readonly check: WireReadiness | null;
  /** Why the last question got no answer; null where it did. */
  readonly failure: string | null;
  readonly refresh: () => Promise<void>;
}

/** Sensors and clocks move the check by themselves: asked for again so often, and at once when the site says that something changed. */
const AGAIN_MS = 2_000;

export function useReadiness(rig: string): ReadinessFeed {
  const { desk, words } = useSeat();
  const { sites } = useStore(desk.live);
  const [state, setState] = useState<Pick<ReadinessFeed, 'check' | 'failure'>>({ check: null, failure: null });
  const asked = useRef(0);
  const refresh = useCallback(async () => {
    const mine = ++asked.current;
    const answer = await readReadiness(rig);
    // An answer that another question overtook is older than what is shown.
    if (mine !== asked.current) return;
    setState((was) => (answer.ok ? { check: answer.body, failure: null } : { check: was.check?.rig === rig ? was.check : null, failure: answer.detail }));
  }, [rig]);
  useEffect(() => {
    void refresh();
    const timer = setInterval(() => void refresh(), AGAIN_MS);
    return () => clearInterval(timer);
  }, [refresh, sites]);
  const check = useMemo(() => state.check && tellCheck(state.check, words), [state.check, words]);
  return { check, failure: state.failure, refresh };
}
