import { useMemo } from 'react';
import type { Reader } from '../format/describe-point.ts';
import { serverTimeMs } from '../link/server-clock.ts';
import { useSeat } from './desk-context.ts';
import { useSelected, useWorkedOut } from './use-store.ts';

/** How this person reads values, now. The time goes on when the link is gone: ages must grow. */
export function useReader(): Reader {
  const { desk, words } = useSeat();
  const units = useSelected(desk.preferences, (preferences) => preferences.units);
  // Whole half-seconds: frames come faster than anything on screen has to change.
  const nowMs = useWorkedOut(desk.tick, desk.feed, () => {
    const { clock } = desk.feed.published();
    return clock ? Math.round(serverTimeMs(clock, desk.tick.published()) / 500) * 500 : null;
  });
  return useMemo(() => ({ system: units, words, nowMs }), [units, words, nowMs]);
}
