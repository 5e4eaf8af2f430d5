import { useMemo } from 'react';
import type { LiveRig } from '../../../domain/wire/live.ts';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import type { RecordedSeries, RecordedTrace } from '../../api/shifts.ts';
import { alignSeries } from '../../chart/align-series.ts';
import { blastingSpans } from '../../chart/blasting-spans.ts';
import type { ChartMoment } from '../../chart/chart-options.ts';
import { TimeChart } from '../../chart/TimeChart.tsx';
import { formatNumber } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { type Panel, SHADED, columnOf, gapSpans, isErased, lateSpans, measureOf, valueAt } from './panels.ts';
import type { Stretch } from './stretch.ts';

export interface TracePanelProps {
  readonly panel: Panel;
  readonly trace: RecordedTrace | null;
  readonly stretch: Stretch;
  readonly zone: string;
  readonly cursorMs: number | null;
  readonly rig: LiveRig | undefined;
}

/** One panel: its points by name with what they read at the cursor, and the chart. */
export function TracePanel({ panel, trace, stretch, zone, cursorMs, rig }: TracePanelProps) {
  const { desk, words } = useSeat();
  const { units, theme } = useStore(desk.preferences);
  const find = (id: string): RecordedSeries | undefined => trace?.series.find((series) => series.id === id);
  const [main = ''] = panel.points;
  const data = useMemo(() => alignSeries(panel.points.map((id) => columnOf(find(id), units))), [trace, panel, units]);
  const marks = useMemo(() => {
    const endMs = trace?.toMs ?? 0;
    const shaded = find(SHADED);
    return { spans: shaded ? blastingSpans(shaded, endMs) : [], gaps: gapSpans(find(main), endMs), late: panel.points.flatMap((id) => lateSpans(find(id), endMs)) };
  }, [trace, panel]);
  const moment = useMemo<ChartMoment>(() => ({ ...stretch, ...marks }), [stretch, marks]);
  const turn = (value: number): number => measureOf(main, value, units).value;
  const { symbol, decimals } = measureOf(main, 0, units);
  const limits = panel.key === 'pressure' && rig?.wanted ? rig.wanted.map(turn) : panel.key === 'co' ? [10] : [];
  const title = words.shifts.trace.panels[panel.key];
  return (
    <figure className="panel" data-testid={`panel-${panel.key}`}>
      <figcaption className="panel__head">
        <strong>{title}</strong> <span className="soft">{symbol}</span>
        {panel.points.map((id, index) => {
          const at = cursorMs === null ? null : valueAt(find(id), cursorMs);
          return (
            <span key={id} className="panel__point" data-strong={index === 0 || undefined} data-testid={`at-cursor-${id}`}>
              {panel.points.length > 1 ? <span className="panel__name">{words.told(findPointKind(id)?.label ?? id)}</span> : null}
              <strong>{cursorMs === null ? '' : isErased(find(id), cursorMs) ? words.shifts.trace.erased : at === null ? words.shifts.trace.nothingHere : rangeText(measureOf(id, at.low, units).value, measureOf(id, at.high, units).value, decimals, words.fromTo)}</strong>
              {at?.isLate ? <em>{words.shifts.trace.late}</em> : null}
            </span>
          );
        })}
      </figcaption>
      <TimeChart plan={{ zone, theme, lines: panel.points.map((_, index) => ({ strong: index === 0 })), range: [Math.floor(turn(panel.range[0])), Math.ceil(turn(panel.range[1]))], limits, decimals }} data={data} moment={moment} label={`${title}, ${symbol}`} />
    </figure>
  );
}

/** One number where the step holds one, else its lowest and highest. */
function rangeText(low: number, high: number, decimals: number, fromTo: (from: string, to: string) => string): string {
  const [a, b] = [formatNumber(low, decimals), formatNumber(high, decimals)];
  return a === b ? a : fromTo(a, b);
}
