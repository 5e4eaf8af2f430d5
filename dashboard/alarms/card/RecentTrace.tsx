import { useMemo } from 'react';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import { pointKey } from '../../../domain/points/reading.ts';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { alignSeries } from '../../chart/align-series.ts';
import type { ChartMoment } from '../../chart/chart-options.ts';
import { TimeChart } from '../../chart/TimeChart.tsx';
import { limitsOf } from '../../format/describe-point.ts';
import { inSystem } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { useStore } from '../../hooks/use-store.ts';
import { useSize } from '../../ui/use-size.ts';
import { TRACE_MINUTES, useRecentTrace } from './use-recent-trace.ts';

/** The trace moves once in so many seconds: more would only flicker. */
const REDRAW_MS = 2_000;

/** How the alarm's value came to where it is, against its limits. */
export function RecentTrace({ alarm, site, isLive }: { alarm: LiveAlarm; site: LiveSite; isLive: boolean }) {
  const { desk, words } = useSeat();
  const { nowMs, system } = useReader();
  const { theme } = useStore(desk.preferences);
  const { points } = useStore(desk.live);
  const [box, size] = useSize<HTMLElement>();
  const endMs = nowMs === null ? null : Math.floor(nowMs / REDRAW_MS) * REDRAW_MS;
  const { column, failure } = useRecentTrace(alarm, site, endMs, size.width, isLive);
  const kind = findPointKind(alarm.point);
  const inUnits = (value: number): number => (kind ? inSystem(value, kind.unit, kind.dimension, system).value : value);
  const data = useMemo(() => {
    const turn = (value: number | null): number | null => (value === null ? null : inUnits(value));
    return alignSeries([{ atMs: column.atMs, min: column.min.map(turn), max: column.max.map(turn) }]);
    // `inUnits` follows from the point and the system.
  }, [column, system, alarm.point]);
  const moment = useMemo<ChartMoment>(() => ({ fromMs: (endMs ?? 0) - TRACE_MINUTES * 60_000, toMs: endMs ?? 0, spans: [] }), [endMs]);
  const live = points.get(pointKey(alarm.owner, alarm.point));
  const limits = live ? limitsOf(live).map((l) => inUnits(l.limit)) : alarm.limit === null ? [] : [inUnits(alarm.limit)];
  const values = [...column.min, ...column.max].filter((v) => v !== null).map(inUnits);
  const seen = [...values, ...limits.slice(0, 1)];
  const low = Math.min(...seen, Infinity);
  const high = Math.max(...seen, -Infinity);
  const room = Math.max(high - low, Math.abs(high) * 0.1, 1) * 0.15;
  const label = `${words.told(kind?.label ?? alarm.point)}, ${kind ? inSystem(0, kind.unit, kind.dimension, system).symbol : ''}, ${words.alarms.lastMinutes(TRACE_MINUTES)}`;
  return (
    <figure className="trace" ref={box}>
      <figcaption className="trace__title">{label}</figcaption>
      {failure === null ? (
        <TimeChart plan={{ zone: site.zone, theme, lines: [{ strong: true }], range: Number.isFinite(low) ? [roundTo(low - room, 'down'), roundTo(high + room, 'up')] : [0, 1], limits, decimals: 1 }} data={data} moment={moment} label={label} />
      ) : (
        <p className="soft">{words.alarms.traceMissing(words.problem(failure) || words.shift.serverUnreachable)}</p>
      )}
    </figure>
  );
}

/** Whole numbers, so that the scale does not breathe with every reading. */
function roundTo(value: number, way: 'up' | 'down'): number {
  return way === 'up' ? Math.ceil(value) : Math.floor(value);
}
