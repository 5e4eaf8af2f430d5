import { use, useMemo } from 'react';
import type { LivePoint } from '../../../domain/wire/live.ts';
import { formatAge } from '../../format/age.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { RecentContext, columnOf } from './RecentTraces.tsx';
import { timeLeftS } from './time-left.ts';

/** `limit in about 12 min`; null where no trend is clear. Worked out once a step of the trace. */
export function useTimeLeft(point: LivePoint | undefined): string | null {
  const { words } = useSeat();
  const recent = use(RecentContext);
  const seconds = useMemo(() => (recent && point ? timeLeftS(point, columnOf(recent, point.owner, point.id)) : null), [recent, point?.owner, point?.id, point?.quality]);
  return seconds === null ? null : words.climate.timeLeft(formatAge(seconds * 1000, words));
}
