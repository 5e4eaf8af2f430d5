import { useEffect, useMemo, useRef, useState } from 'react';
import type { LiveRig } from '../../domain/wire/live.ts';
import { readTrace } from '../api/read-trace.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { findRigPoint } from '../link/site-facts.ts';
import { type Column, EMPTY_COLUMN, appendReading, toColumn } from './column.ts';

export const HISTORY_POINTS = ['nozzle-pressure', 'supply-pressure', 'breathing-air-co', 'steel-margin', 'blasting'] as const;
type HistoryPoint = (typeof HISTORY_POINTS)[number];

export interface ShiftHistory {
  readonly columns: Readonly<Record<HistoryPoint, Column>>;
  readonly fromMs: number;
  readonly status: 'loading' | 'ready' | { readonly failed: string };
}

const WITHOUT_SHIFT_MS = 4 * 3_600_000;
/** A shift just begun still gets a scale that a person can read. */
const LEAST_MS = 15 * 60_000;

const EMPTY = Object.fromEntries(HISTORY_POINTS.map((id) => [id, EMPTY_COLUMN])) as unknown as Record<HistoryPoint, Column>;

/** The shift's history, fetched once per link and width, then grown by what comes live. */
export function useShiftHistory(rig: LiveRig, widthPx: number, nowMs: number | null, isLive: boolean): ShiftHistory {
  const { desk } = useSeat();
  const { holes } = useStore(desk.feed);
  const { points } = useStore(desk.live);
  const [fetched, setFetched] = useState<{ columns: Record<HistoryPoint, Column>; status: ShiftHistory['status'] }>({ columns: EMPTY, status: 'loading' });
  const startMs = rig.shift?.startedAtMs ?? null;
  const fromMs = useMemo(() => fromOf(startMs, nowMs), [startMs, nowMs]);
  const newest = useRef({ nowMs, fromMs });
  newest.current = { nowMs, fromMs };
  const stepMs = Math.max(1000, ((nowMs ?? 0) - fromMs) / Math.max(1, widthPx));
  // The server refuses a question about a point that the rig doesn't have.
  const known = HISTORY_POINTS.filter((id) => findRigPoint(points, rig, id) !== undefined).join(',');
  const isReady = nowMs !== null && widthPx > 0;

  useEffect(() => {
    const { nowMs: toMs, fromMs: since } = newest.current;
    if (!isReady || toMs === null || known === '') return;
    let isCurrent = true;
    void readTrace({ rig: rig.id, points: known.split(','), fromMs: since, toMs, widthPx }).then((answer) => {
      if (!isCurrent) return;
      if (!answer.ok) {
        setFetched((was) => ({ ...was, status: { failed: answer.detail } }));
        return;
      }
      const columns = Object.fromEntries(HISTORY_POINTS.map((id) => [id, toColumn(answer.body.series.find((s) => s.id === id))]));
      setFetched({ columns: columns as unknown as Record<HistoryPoint, Column>, status: 'ready' });
    });
    return () => {
      isCurrent = false;
    };
    // `known` is a text, so that an equal list is no reason to ask again.
  }, [rig.id, widthPx, holes, startMs, isReady, known]);

  useEffect(() => {
    // What arrived while history was on its way is in it; what comes while not live is not to be believed.
    if (!isLive || fetched.status === 'loading') return;
    setFetched((was) => {
      let isChanged = false;
      const columns = { ...was.columns };
      for (const id of HISTORY_POINTS) {
        const point = findRigPoint(points, rig, id);
        if (!point || point.atMs === null) continue;
        const grown = appendReading(columns[id], point.atMs, point.quality === 'good' ? point.value : null, stepMs);
        if (grown !== columns[id]) isChanged = true;
        columns[id] = grown;
      }
      return isChanged ? { ...was, columns } : was;
    });
    // The step only decides how finely the live end is kept: a new one is no reason to append again.
  }, [points, rig, isLive, fetched.status]);

  return { columns: fetched.columns, fromMs, status: fetched.status };
}

function fromOf(startMs: number | null, nowMs: number | null): number {
  const now = nowMs ?? startMs ?? 0;
  return startMs === null ? now - WITHOUT_SHIFT_MS : Math.min(startMs, now - LEAST_MS);
}
