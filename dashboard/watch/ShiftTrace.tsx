import type { AlignedColumns } from '../chart/align-series.ts';
import type { ChartMoment, ChartPlan } from '../chart/chart-options.ts';
import { TimeChart } from '../chart/TimeChart.tsx';

export interface ShiftTraceProps {
  readonly title: string;
  readonly unit: string;
  readonly zone: string;
  readonly theme: string;
  readonly data: AlignedColumns;
  readonly moment: ChartMoment;
  readonly lines: ChartPlan['lines'];
  readonly range: ChartPlan['range'];
  readonly limits: readonly number[];
  /** Names of the lines where there are several, in their order. */
  readonly names?: readonly string[];
}

export function ShiftTrace({ title, unit, zone, theme, data, moment, lines, range, limits, names }: ShiftTraceProps) {
  return (
    <figure className="trace">
      <figcaption className="trace__title">
        {title}, {unit}
        {names?.map((name, index) => (
          <span key={name} className="trace__name" data-strong={lines[index]?.strong || undefined}>
            {name}
          </span>
        ))}
      </figcaption>
      <TimeChart plan={{ zone, theme, lines, range, limits, decimals: 1 }} data={data} moment={moment} label={`${title}, ${unit}`} />
    </figure>
  );
}
