import { useEffect, useState } from 'react';
import { pointKey } from '../../../domain/points/reading.ts';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { readTrace } from '../../api/read-trace.ts';
import { type Column, EMPTY_COLUMN, appendReading, toColumn } from '../../chart/column.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';

export const TRACE_MINUTES = 20;

export interface RecentTraceData {
  readonly column: Column;
  readonly failure: string | null;
}

/** The last minutes of an alarm's point, fetched once per link and then grown by what comes live. */
export function useRecentTrace(alarm: LiveAlarm, site: LiveSite, nowMs: number | null, widthPx: number, isLive: boolean): RecentTraceData {
  const { desk } = useSeat();
  const { holes } = useStore(desk.feed);
  const { points } = useStore(desk.live);
  const [data, setData] = useState<RecentTraceData & { readonly isFetched: boolean }>({ column: EMPTY_COLUMN, failure: null, isFetched: false });
  const rig = rigThatSees(alarm, site);
  const stepMs = Math.max(1000, (TRACE_MINUTES * 60_000) / Math.max(1, widthPx));
  const isReady = nowMs !== null && widthPx > 0;
  const { owner, point } = alarm;

  useEffect(() => {
    if (!isReady || nowMs === null || rig === null) return;
    let isCurrent = true;
    void readTrace({ rig, points: [point], fromMs: nowMs - TRACE_MINUTES * 60_000, toMs: nowMs, widthPx }).then((answer) => {
      if (!isCurrent) return;
      setData(answer.ok ? { column: toColumn(answer.body.series[0]), failure: null, isFetched: true } : { column: EMPTY_COLUMN, failure: answer.detail, isFetched: true });
    });
    return () => {
      isCurrent = false;
    };
    // Fetched for the moment the card was opened: a later `now` is what the live end is for.
  }, [rig, point, widthPx, isReady, holes]);

  const live = points.get(pointKey(owner, point));
  useEffect(() => {
    if (!isLive || !data.isFetched || !live || live.atMs === null) return;
    const { atMs, quality, value } = live;
    setData((was) => ({ ...was, column: appendReading(was.column, atMs, quality === 'good' ? value : null, stepMs) }));
  }, [live, isLive, data.isFetched]);
  return data;
}

/** The trace is asked of a rig, which sees its own points, its compressor's and its site's. */
function rigThatSees(alarm: LiveAlarm, site: LiveSite): string | null {
  return alarm.rig ?? site.compressors.find((c) => c.id === alarm.owner)?.serves[0] ?? site.rigs[0]?.id ?? null;
}
