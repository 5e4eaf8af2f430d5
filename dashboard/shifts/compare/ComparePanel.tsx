import { useMemo } from 'react';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import type { RecordedTrace } from '../../api/shifts.ts';
import { alignSeries } from '../../chart/align-series.ts';
import type { ChartMoment } from '../../chart/chart-options.ts';
import { TimeChart } from '../../chart/TimeChart.tsx';
import { formatNumber } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { type Panel, columnOf, measureOf, valueAt } from '../trace/panels.ts';
import type { Stretch } from '../trace/stretch.ts';
import { sinceStart } from './elapsed.ts';

export interface ComparePanelProps {
  readonly panel: Panel;
  readonly traces: readonly [RecordedTrace | null, RecordedTrace | null];
  readonly starts: readonly [number, number];
  /** Since the start. */
  readonly stretch: Stretch;
  readonly cursorMs: number | null;
}

const LINES = [{ strong: true }, { strong: false, dashed: true }] as const;

export function ComparePanel({ panel, traces, starts, stretch, cursorMs }: ComparePanelProps) {
  const { desk, words } = useSeat();
  const { units, theme } = useStore(desk.preferences);
  const [main = ''] = panel.points;
  const [first, second] = traces;
  const series = useMemo(() => [sinceStart(first, main, starts[0]), sinceStart(second, main, starts[1])], [first, second, main, starts[0], starts[1]]);
  const data = useMemo(() => alignSeries(series.map((one) => columnOf(one, units))), [series, units]);
  const moment = useMemo<ChartMoment>(() => ({ ...stretch, spans: [] }), [stretch]);
  const turn = (value: number): number => measureOf(main, value, units).value;
  const { symbol, decimals } = measureOf(main, 0, units);
  const title = findPointKind(main)?.label ?? main;
  return (
    <figure className="panel" data-testid={`compare-${panel.key}`}>
      <figcaption className="panel__head">
        <strong>{title}</strong> <span className="soft">{symbol}</span>
        {series.map((one, index) => {
          const at = cursorMs === null ? null : valueAt(one, cursorMs);
          return (
            <span key={index} className="panel__point" data-strong={index === 0 || undefined} data-dashed={index === 1 || undefined}>
              <strong>{cursorMs === null ? '' : at === null ? words.shifts.trace.nothingHere : formatNumber(turn(at.high), decimals)}</strong>
            </span>
          );
        })}
      </figcaption>
      <TimeChart plan={{ zone: 'UTC', theme, isElapsed: true, lines: LINES, range: [Math.floor(turn(panel.range[0])), Math.ceil(turn(panel.range[1]))], limits: panel.key === 'co' ? [10] : [], decimals }} data={data} moment={moment} label={`${title}, ${symbol}`} />
    </figure>
  );
}
