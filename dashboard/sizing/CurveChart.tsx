import { useEffect, useRef } from 'react';
import uPlot from '../chart/uplot.ts';
import { useSize } from '../ui/use-size.ts';

export interface CurveChartProps {
  readonly at: readonly number[];
  /** The first is drawn strong. */
  readonly lines: readonly (readonly (number | null)[])[];
  /** Where the set-ups stand now. */
  readonly marks: readonly number[];
  readonly limit: number | null;
  readonly theme: string;
  readonly label: string;
  readonly sayAt: (at: number) => string;
}

const FONT = '12px "Encode Sans Variable", sans-serif';

/** One curve of each set-up over one quantity. Made anew where its kind changes, and fed from then on. */
export function CurveChart({ at, lines, marks, limit, theme, label, sayAt }: CurveChartProps) {
  const [box, size] = useSize<HTMLDivElement>();
  const chart = useRef<uPlot | null>(null);
  const newest = useRef({ at, lines, marks, sayAt });
  newest.current = { at, lines, marks, sayAt };
  const count = lines.length;
  const hasSize = size.width > 0 && size.height > 0;

  useEffect(() => {
    const element = box.current;
    if (!element || !hasSize) return;
    const style = getComputedStyle(element);
    const read = (name: string): string => style.getPropertyValue(name).trim();
    const [ink, soft, rule] = [read('--ink'), read('--ink-soft'), read('--rule')];
    const axis: uPlot.Axis = { stroke: soft, font: FONT, gap: 4, grid: { stroke: rule, width: 1 }, ticks: { show: false } };
    const made = new uPlot(
      {
        width: element.clientWidth,
        height: element.clientHeight,
        padding: [8, 10, 0, 0],
        legend: { show: false },
        cursor: { show: false },
        scales: { x: { time: false }, y: { range: (_, _low, high) => [0, Math.max((high ?? 0) * 1.06, limit === null ? 0 : limit * 1.1)] } },
        series: [{}, ...Array.from({ length: count }, (_, index): uPlot.Series => ({ stroke: index === 0 ? ink : soft, width: index === 0 ? 3 : 2.5, ...(index === 0 ? {} : { dash: [9, 6] }), points: { show: false } }))],
        axes: [{ ...axis, size: 26, values: (_, splits) => splits.map((split) => newest.current.sayAt(split)) }, { ...axis, size: 42 }],
        hooks: {
          draw: [
            (u) => {
              newest.current.marks.forEach((mark, index) => markAt(u, mark, newest.current.lines[index], newest.current.at, index === 0 ? ink : soft));
              if (limit !== null) limitAt(u, limit, ink);
            },
          ],
        },
      },
      dataOf(newest.current),
      element,
    );
    chart.current = made;
    return () => {
      made.destroy();
      chart.current = null;
    };
  }, [box, hasSize, count, limit, theme]);

  useEffect(() => {
    if (hasSize) chart.current?.setSize(size);
  }, [size, hasSize]);

  useEffect(() => {
    chart.current?.setData(dataOf({ at, lines }));
  });

  return <div className="curve" ref={box} role="img" aria-label={label} />;
}

function dataOf({ at, lines }: Pick<CurveChartProps, 'at' | 'lines'>): uPlot.AlignedData {
  return [[...at], ...lines.map((line) => [...line])];
}

/** A ring on the curve where the set-up stands. */
function markAt(u: uPlot, mark: number, line: readonly (number | null)[] | undefined, at: readonly number[], stroke: string): void {
  const after = at.findIndex((one) => one >= mark);
  const [x1, x2] = [at[Math.max(0, after - 1)], at[after]];
  const [y1, y2] = [line?.[Math.max(0, after - 1)], line?.[after]];
  if (x1 === undefined || x2 === undefined || y1 == null || y2 == null) return;
  const value = x2 === x1 ? y2 : y1 + ((y2 - y1) * (mark - x1)) / (x2 - x1);
  u.ctx.save();
  u.ctx.strokeStyle = stroke;
  u.ctx.setLineDash([]);
  u.ctx.lineWidth = 3;
  u.ctx.beginPath();
  u.ctx.arc(u.valToPos(mark, 'x', true), u.valToPos(value, 'y', true), 7, 0, 2 * Math.PI);
  u.ctx.stroke();
  u.ctx.restore();
}

function limitAt(u: uPlot, limit: number, stroke: string): void {
  const y = Math.round(u.valToPos(limit, 'y', true)) + 0.5;
  u.ctx.save();
  u.ctx.strokeStyle = stroke;
  u.ctx.setLineDash([2, 5]);
  u.ctx.lineWidth = 1.5;
  u.ctx.beginPath();
  u.ctx.moveTo(u.bbox.left, y);
  u.ctx.lineTo(u.bbox.left + u.bbox.width, y);
  u.ctx.stroke();
  u.ctx.restore();
}
