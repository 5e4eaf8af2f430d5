import { useEffect, useRef, useState } from 'react';
import type uPlot from 'uplot';
import { useSeat } from '../hooks/desk-context.ts';
import { useSize } from '../ui/use-size.ts';
import type { AlignedColumns } from './align-series.ts';
import { type ChartLibrary, chartLibrary, fetchChartLibrary } from './chart-library.ts';
import { type ChartMoment, type ChartPaint, type ChartPlan, chartOptions } from './chart-options.ts';

export interface TimeChartProps {
  readonly plan: ChartPlan;
  readonly data: AlignedColumns;
  readonly moment: ChartMoment;
  /** What the chart shows, for those who can't see it. */
  readonly label: string;
}

/** A chart made once per plan and fed from then on: making one anew at each reading is what makes pages stutter. Its place stands before it does. */
export function TimeChart({ plan, data, moment, label }: TimeChartProps) {
  const { words } = useSeat();
  const [box, size] = useSize<HTMLDivElement>();
  const library = useChartLibrary();
  const chart = useRef<uPlot | null>(null);
  const newest = useRef({ data, moment });
  newest.current = { data, moment };
  const signature = JSON.stringify(plan);
  const hasSize = size.width > 0 && size.height > 0;

  useEffect(() => {
    const element = box.current;
    if (!element || !hasSize || library === null || library === 'missing') return;
    const made = new library(
      chartOptions(JSON.parse(signature) as ChartPlan, readPaint(element), () => newest.current.moment, { width: element.clientWidth, height: element.clientHeight }),
      newest.current.data,
      element,
    );
    chart.current = made;
    return () => {
      made.destroy();
      chart.current = null;
    };
  }, [box, signature, hasSize, library]);

  useEffect(() => {
    if (hasSize) chart.current?.setSize(size);
  }, [size, hasSize]);

  useEffect(() => {
    chart.current?.setData(data);
  }, [data, moment.fromMs, moment.toMs]);

  return (
    <div className="chart" ref={box} role="img" aria-label={label}>
      {library === 'missing' ? <p className="soft">{words.chartMissing}</p> : null}
    </div>
  );
}

/** Null while it is on its way. */
function useChartLibrary(): ChartLibrary | 'missing' | null {
  // In an object of its own: a state that is a function would be called.
  const [held, setHeld] = useState<{ readonly charts: ChartLibrary | 'missing' | null }>(() => ({ charts: chartLibrary() }));
  useEffect(() => {
    if (held.charts !== null) return undefined;
    let isPast = false;
    const hold = (charts: ChartLibrary | 'missing'): void => void (isPast || setHeld({ charts }));
    // In a task of its own: what stands there already is painted first.
    const timer = setTimeout(() => void fetchChartLibrary().then(hold, () => hold('missing')));
    return () => {
      isPast = true;
      clearTimeout(timer);
    };
  }, [held.charts]);
  return held.charts;
}

/** A canvas knows no custom properties: the theme's are read where it is made. */
function readPaint(element: HTMLElement): ChartPaint {
  const style = getComputedStyle(element);
  const read = (name: string): string => style.getPropertyValue(name).trim();
  return { ink: read('--ink'), soft: read('--ink-soft'), rule: read('--rule'), shade: read('--shade'), strokePx: Number(read('--trace-width')) || 1 };
}
