import type uPlot from 'uplot';
import type { Span } from './blasting-spans.ts';
import { timeLabels } from './time-labels.ts';
import { timeSplits } from './time-splits.ts';

/** What a chart is, apart from its data and size: while this stays the same, the chart is kept and only fed. */
export interface ChartPlan {
  readonly zone: string;
  readonly theme: string;
  /** One line each: a lowest and a highest column stand behind it. */
  readonly lines: readonly { readonly strong: boolean; readonly dashed?: boolean }[];
  /** Least the scale shows, in the unit drawn; data beyond it widen it. */
  readonly range: readonly [low: number, high: number];
  readonly limits: readonly number[];
  readonly decimals: number;
  /** The axis counts from a shift's start instead of telling the time of day. */
  readonly isElapsed?: boolean;
}

/** What changes while the chart stays: read at each drawing. */
export interface ChartMoment {
  readonly fromMs: number;
  readonly toMs: number;
  readonly spans: readonly Span[];
  /** Where nothing is known: hatched, so that silence is not taken for calm. */
  readonly gaps?: readonly Span[];
  /** What came after the fact. */
  readonly late?: readonly Span[];
}

export interface ChartPaint {
  readonly ink: string;
  readonly soft: string;
  readonly rule: string;
  readonly shade: string;
  readonly strokePx: number;
}

const FONT = '12px "Encode Sans Variable", sans-serif';
const LEAST_LABEL_PX = 76;
const HALF_LETTER_PX = 3.2;
/** Where the plot area begins and ends within the chart: the same in every chart, so that they stand one above the other. */
export const PLOT_LEFT_PX = 40;
export const PLOT_RIGHT_PX = 8;

export function chartOptions(plan: ChartPlan, paint: ChartPaint, moment: () => ChartMoment, size: { width: number; height: number }): uPlot.Options {
  const stroke = (strong: boolean): string => (strong ? paint.ink : paint.soft);
  return {
    ...size,
    padding: [8, PLOT_RIGHT_PX, 0, 0],
    legend: { show: false },
    cursor: { show: false },
    pxAlign: 1,
    scales: {
      x: { time: false, range: () => [moment().fromMs / 1000, moment().toMs / 1000] },
      y: { range: (_, low, high) => [Math.min(plan.range[0], low ?? plan.range[0]), Math.max(plan.range[1], high ?? plan.range[1])] },
    },
    series: [{}, ...plan.lines.flatMap((line) => [series(stroke(line.strong), paint.strokePx, line.dashed), series(stroke(line.strong), paint.strokePx, line.dashed)])],
    // A dashed line's band stays open: filled, nobody would see that it is dashed.
    bands: plan.lines.flatMap((line, index) => (line.dashed ? [] : [{ series: [index * 2 + 2, index * 2 + 1] as [number, number], fill: stroke(line.strong) }])),
    axes: [
      {
        ...axis(paint),
        size: 24,
        splits: (u, _i, min, max) => timeSplits(min * 1000, max * 1000, plan.isElapsed ? 'UTC' : plan.zone, Math.max(2, Math.floor(u.width / LEAST_LABEL_PX))).map((ms) => ms / 1000),
        values: (u, splits) => timeLabels(splits.map((s) => Math.round(s * 1000)), plan.zone, plan.isElapsed ?? false).map((label, index) => (isCut(u, splits[index] ?? 0, label) ? '' : label)),
      },
      { ...axis(paint), size: PLOT_LEFT_PX, values: (_, splits) => splits.map((v) => v.toFixed(Number.isInteger(v) ? 0 : plan.decimals).replace('-', '−')) },
    ],
    hooks: {
      drawClear: [(u) => shade(u, moment().spans, paint.shade), (u) => hatch(u, moment().gaps ?? [], paint.soft)],
      draw: [(u) => plan.limits.forEach((limit) => rule(u, limit, paint.ink)), (u) => underline(u, moment().late ?? [], paint.ink)],
    },
  };
}

/** A label that the chart's right edge would cut reads as another time: it is left out. */
function isCut(u: uPlot, seconds: number, label: string): boolean {
  return u.valToPos(seconds, 'x') + PLOT_LEFT_PX + label.length * HALF_LETTER_PX > u.width;
}

function series(stroke: string, width: number, isDashed = false): uPlot.Series {
  return { stroke, width, points: { show: false }, spanGaps: false, ...(isDashed ? { dash: [6, 4] } : {}) };
}

function axis(paint: ChartPaint): uPlot.Axis {
  return { stroke: paint.soft, font: FONT, gap: 4, grid: { stroke: paint.rule, width: 1 }, ticks: { show: false } };
}

function shade(u: uPlot, spans: readonly Span[], fill: string): void {
  u.ctx.save();
  u.ctx.fillStyle = fill;
  for (const { left, width } of inPlot(u, spans)) u.ctx.fillRect(left, u.bbox.top, width, u.bbox.height);
  u.ctx.restore();
}

const HATCH_PX = 9;

/** Slanting lines over a stretch that has no values. */
function hatch(u: uPlot, spans: readonly Span[], stroke: string): void {
  const ratio = devicePixelRatio;
  const { top, height } = u.bbox;
  for (const { left, width } of inPlot(u, spans)) {
    u.ctx.save();
    u.ctx.beginPath();
    u.ctx.rect(left, top, width, height);
    u.ctx.clip();
    u.ctx.strokeStyle = stroke;
    u.ctx.lineWidth = ratio;
    u.ctx.beginPath();
    // Counted from the plot's own edge, so that neighbouring stretches and panels hatch alike.
    for (let x = u.bbox.left - height; x < left + width; x += HATCH_PX * ratio) {
      u.ctx.moveTo(x, top + height);
      u.ctx.lineTo(x + height, top);
    }
    u.ctx.stroke();
    u.ctx.restore();
  }
}

/** A row of ticks at the foot of what came late. */
function underline(u: uPlot, spans: readonly Span[], stroke: string): void {
  const ratio = devicePixelRatio;
  u.ctx.save();
  u.ctx.strokeStyle = stroke;
  u.ctx.lineWidth = 5 * ratio;
  u.ctx.setLineDash([2 * ratio, 3 * ratio]);
  u.ctx.beginPath();
  const y = u.bbox.top + u.bbox.height - 3 * ratio;
  for (const { left, width } of inPlot(u, spans)) {
    u.ctx.moveTo(left, y);
    u.ctx.lineTo(left + Math.max(width, 4 * ratio), y);
  }
  u.ctx.stroke();
  u.ctx.restore();
}

function inPlot(u: uPlot, spans: readonly Span[]): readonly { readonly left: number; readonly width: number }[] {
  return spans.flatMap((span) => {
    const left = Math.max(u.bbox.left, u.valToPos(span.fromMs / 1000, 'x', true));
    const right = Math.min(u.bbox.left + u.bbox.width, u.valToPos(span.toMs / 1000, 'x', true));
    return right > left ? [{ left, width: right - left }] : [];
  });
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
