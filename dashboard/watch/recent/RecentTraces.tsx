import { type ReactNode, createContext, useEffect, useMemo, useRef, useState } from 'react';
import { type PointKey, pointKey } from '../../../domain/points/reading.ts';
import type { LiveRig } from '../../../domain/wire/live.ts';
import { readTrace } from '../../api/read-trace.ts';
import { type Column, EMPTY_COLUMN, appendReading, toColumn, trimColumn } from '../../chart/column.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { useSelected } from '../../hooks/use-store.ts';
import { FIELD } from './short-shape.ts';
import { type RecentQuestion, recentQuestions } from './recent-questions.ts';

export const RECENT_MINUTES = 10;
const RECENT_MS = RECENT_MINUTES * 60_000;
/** One step of the trace: what moves in between is kept, and drawn with the next. */
const STEP_MS = RECENT_MS / FIELD.width;

export interface Recent {
  readonly columns: ReadonlyMap<PointKey, Column>;
  readonly fromMs: number;
  readonly toMs: number;
}

export const RecentContext = createContext<Recent | null>(null);

/** The last minutes of what the rigs drawn large show: fetched once per link, grown by what comes live, and drawn anew once a step. */
export function RecentTraces({ rigs, isLive, children }: { rigs: readonly LiveRig[]; isLive: boolean; children: ReactNode }) {
  const { desk } = useSeat();
  const { nowMs } = useReader();
  const holes = useSelected(desk.feed, (feed) => feed.holes);
  const points = useSelected(desk.live, (live) => live.points);
  const columns = useRef(new Map<PointKey, Column>());
  const [shown, setShown] = useState<Recent | null>(null);
  const toMs = nowMs === null ? null : Math.floor(nowMs / STEP_MS) * STEP_MS;
  const isClocked = toMs !== null;
  // A text, so that an equal list is no reason to ask again.
  const questions = JSON.stringify(useMemo(() => recentQuestions(rigs, points), [rigs, points]));

  useEffect(() => {
    if (toMs === null) return;
    let isCurrent = true;
    columns.current = new Map();
    const asked = (JSON.parse(questions) as readonly RecentQuestion[]).filter((question) => question.points.length > 0);
    for (const question of asked) {
      void readTrace({ ...question, fromMs: toMs - RECENT_MS, toMs, widthPx: FIELD.width }).then((answer) => {
        if (!isCurrent || !answer.ok) return;
        for (const series of answer.body.series) columns.current.set(pointKey(series.owner, series.id), toColumn(series));
        setShown(drawn(columns.current, toMs));
      });
    }
    return () => {
      isCurrent = false;
    };
    // A later `now` is what the live end is for.
  }, [questions, holes, isClocked]);

  useEffect(() => {
    // What comes while not live is not to be believed.
    if (!isLive) return;
    for (const [key, column] of columns.current) {
      const point = points.get(key);
      if (point && point.atMs !== null) columns.current.set(key, appendReading(column, point.atMs, point.quality === 'good' ? point.value : null, STEP_MS));
    }
  }, [points, isLive]);

  useEffect(() => {
    if (toMs === null) return;
    for (const [key, column] of columns.current) columns.current.set(key, trimColumn(column, toMs - RECENT_MS));
    setShown(drawn(columns.current, toMs));
  }, [toMs]);

  return <RecentContext value={shown}>{children}</RecentContext>;
}

function drawn(columns: ReadonlyMap<PointKey, Column>, toMs: number): Recent {
  return { columns: new Map(columns), fromMs: toMs - RECENT_MS, toMs };
}

export function columnOf(recent: Recent, owner: string, id: string): Column {
  return recent.columns.get(pointKey(owner, id)) ?? EMPTY_COLUMN;
}
