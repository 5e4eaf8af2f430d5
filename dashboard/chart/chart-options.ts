import type uPlot from 'uplot';
import { formatClock } from '../format/clock.ts';
import type { Span } from './blasting-spans.ts';
import { timeSplits } from './time-splits.ts';

/** What a chart is, apart from its data and size: while this stays the same, the chart is kept and only fed. */
export interface ChartPlan {
  readonly zone: string;
  readonly theme: string;
  /** One line each: a lowest and a highest column stand behind it. */
  readonly lines: readonly { readonly strong: boolean }[];
  /** Least the scale shows, in the unit drawn; data beyond it widen it. */
  readonly range: readonly [low: number, high: number];
  readonly limits: readonly number[];
  readonly decimals: number;
}

/** What changes while the chart stays: read at each drawing. */
export interface ChartMoment {
  readonly fromMs: number;
  readonly toMs: number;
  readonly spans: readonly Span[];
}

export interface ChartPaint {
  readonly ink: string;
  readonly soft: string;
  readonly rule: string;
  readonly shade: string;
  readonly strokePx: number;
}

const FONT = '12px "Encode Sans Variable", sans-serif';
const LEAST_LABEL_PX = 64;

export function chartOptions(plan: ChartPlan, paint: ChartPaint, moment: () => ChartMoment, size: { width: number; height: number }): uPlot.Options {
  const stroke = (strong: boolean): string => (strong ? paint.ink : paint.soft);
  return {
    ...size,
    padding: [8, 6, 0, 0],
    legend: { show: false },
    cursor: { show: false },
    pxAlign: 1,
    scales: {
      x: { time: false, range: () => [moment().fromMs / 1000, moment().toMs / 1000] },
      y: { range: (_, low, high) => [Math.min(plan.range[0], low ?? plan.range[0]), Math.max(plan.range[1], high ?? plan.range[1])] },
    },
    series: [{}, ...plan.lines.flatMap((line) => [series(stroke(line.strong), paint.strokePx), series(stroke(line.strong), paint.strokePx)])],
    bands: plan.lines.map((line, index) => ({ series: [index * 2 + 2, index * 2 + 1] as [number, number], fill: stroke(line.strong) })),
    axes: [
      {
        ...axis(paint),
        size: 24,
        splits: (u, _i, min, max) => timeSplits(min * 1000, max * 1000, plan.zone, Math.max(2, Math.floor(u.width / LEAST_LABEL_PX))).map((ms) => ms / 1000),
        values: (_, splits) => splits.map((s) => formatClock(s * 1000, plan.zone, false)),
      },
      { ...axis(paint), size: 36, values: (_, splits) => splits.map((v) => v.toFixed(Number.isInteger(v) ? 0 : plan.decimals).replace('-', '−')) },
    ],
    hooks: {
      drawClear: [(u) => shade(u, moment().spans, paint.shade)],
      draw: [(u) => plan.limits.forEach((limit) => rule(u, limit, paint.ink))],
    },
  };
}

function series(stroke: string, width: number): uPlot.Series {
  return { stroke, width, points: { show: false }, spanGaps: false };
}

function axis(paint: ChartPaint): uPlot.Axis {
  return { stroke: paint.soft, font: FONT, gap: 4, grid: { stroke: paint.rule, width: 1 }, ticks: { show: false } };
}

function shade(u: uPlot, spans: readonly Span[], fill: string): void {
  u.ctx.save();
  u.ctx.fillStyle = fill;
  for (const span of spans) {
    const left = Math.max(u.bbox.left, u.valToPos(span.fromMs / 1000, 'x', true));
    const right = Math.min(u.bbox.left + u.bbox.width, u.valToPos(span.toMs / 1000, 'x', true));
    if (right > left) u.ctx.fillRect(left, u.bbox.top, right - left, u.bbox.height);
  }
  u.ctx.restore();
}

function rule(u: uPlot, limit: number, stroke: string): void {
  const y = Math.round(u.valToPos(limit, 'y', true)) + 0.5;
  if (y < u.bbox.top || y > u.bbox.top + u.bbox.height) return;
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
