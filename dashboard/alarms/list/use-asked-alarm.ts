import { type RefObject, useEffect, useState } from 'react';
import type { LiveAlarm } from '../../../domain/wire/live.ts';

/** Which alarm is open: the one that a message led to, as soon as it is there, and from then on what people open. */
export function useAskedAlarm(asked: string | null, alarms: readonly LiveAlarm[], box: RefObject<HTMLElement | null>): [string | null, (id: string | null) => void] {
  const [openId, setOpenId] = useState<string | null>(null);
  const isThere = asked !== null && alarms.some(({ id }) => id === asked);
  useEffect(() => {
    if (!isThere) return;
    setOpenId(asked);
    box.current?.querySelector(`[data-testid="alarm-${CSS.escape(asked)}"]`)?.scrollIntoView({ block: 'center' });
  }, [asked, isThere, box]);
  return [openId, setOpenId];
}
