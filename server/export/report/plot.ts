import { offsetMinutes } from '../../../domain/shift/local-time.ts';
import type { Stretch } from '../../../domain/shift/summary/series.ts';
import type { PointRows } from '../shift-data.ts';
import { markOf } from '../../record/blocks/sample-block.ts';
import { Downsampler } from '../../record/downsample.ts';
import { INK, PAGE, type Sheet, WIDTH } from './sheet.ts';

export interface PlotLine {
  readonly rows: PointRows;
  readonly label: string;
  readonly colour: string;
}

export interface Plot {
  readonly title: string;
  readonly unit: string;
  readonly lines: readonly PlotLine[];
  /** Drawn as dashed lines with their words. */
  readonly limits: readonly { readonly value: number; readonly label: string }[];
  /** Stretches in which an alarm stood. */
  readonly bands: readonly Stretch[];
  /** Notes placed on the trace. */
  readonly marks: readonly { readonly atMs: number; readonly label: string }[];
  readonly within: Stretch;
  readonly zone: string;
}

const LEFT = 40;
const HEIGHT = 108;
/** Lowest and highest of so many stretches: finer than a printer shows. */
const COLUMNS = 900;

/** Draws lines over the shift as vectors: lowest to highest of each stretch, so that a single peak is seen; gaps stay gaps. */
export function drawPlot(sheet: Sheet, plot: Plot): void {
  sheet.need(HEIGHT + 48);
  const { pdf } = sheet;
  const { fromMs, toMs } = plot.within;
  const [left, right] = [PAGE.margin + LEFT, PAGE.margin + WIDTH];
  const headTop = sheet.y;
  const title = `${plot.title}, ${plot.unit}`;
  pdf.font('strong').fontSize(9).fillColor(INK.text).text(title, PAGE.margin, headTop, { lineBreak: false });
  let next = PAGE.margin + pdf.widthOfString(title) + 16;
  pdf.font('plain');
  for (const { label, colour } of plot.lines) {
    pdf.moveTo(next, headTop + 6).lineTo(next + 12, headTop + 6).lineWidth(1.2).stroke(colour);
    pdf.fillColor(colour).text(label, next + 16, headTop, { lineBreak: false });
    next += pdf.widthOfString(label) + 32;
  }
  const top = headTop + 18;
  const bottom = top + HEIGHT;
  const drawn = plot.lines.map((line) => ({ ...line, ...drawnOf(line.rows, plot.within) }));
  const values = [...drawn.flatMap(({ min, max }) => [...min, ...max]), ...plot.limits.map(({ value }) => value)].filter((value) => value !== null);
  const ticks = ticksOf(Math.min(...values), Math.max(...values));
  const [low, high] = [ticks[0] ?? 0, ticks.at(-1) ?? 1];
  const x = (ms: number): number => left + ((ms - fromMs) / Math.max(1, toMs - fromMs)) * (right - left);
  const y = (value: number): number => bottom - ((value - low) / (high - low)) * HEIGHT;
  for (const band of plot.bands) pdf.rect(x(Math.max(fromMs, band.fromMs)), top, Math.max(0.8, x(Math.min(toMs, band.toMs)) - x(Math.max(fromMs, band.fromMs))), HEIGHT).fill(INK.band);
  pdf.font('plain').fontSize(7).lineWidth(0.3);
  for (const tick of ticks) {
    pdf.moveTo(left, y(tick)).lineTo(right, y(tick)).stroke(INK.line);
    pdf.fillColor(INK.quiet).text(String(tick), PAGE.margin, y(tick) - 4, { width: LEFT - 6, align: 'right', lineBreak: false });
  }
  for (const { atMs, label } of timeTicks(plot.within, plot.zone)) {
    pdf.moveTo(x(atMs), bottom).lineTo(x(atMs), bottom + 3).stroke(INK.quiet);
    pdf.fillColor(INK.quiet).text(label, x(atMs) - 30, bottom + 4, { width: 60, align: 'center', lineBreak: false });
  }
  for (const { value, label } of plot.limits) {
    pdf.moveTo(left, y(value)).lineTo(right, y(value)).dash(3, { space: 2 }).lineWidth(0.6).stroke(INK.alarm).undash();
    pdf.fillColor(INK.alarm).text(label, left + 2, y(value) - 8, { lineBreak: false });
  }
  for (const { atMs, min, max, colour } of drawn) {
    pdf.lineWidth(0.7);
    let isDown = false;
    atMs.forEach((ms, index) => {
      const [lowest, highest] = [min[index] ?? null, max[index] ?? null];
      if (lowest === null || highest === null) {
        isDown = false;
        return;
      }
      if (isDown) pdf.lineTo(x(ms), y(lowest));
      else pdf.moveTo(x(ms), y(lowest));
      if (highest > lowest) pdf.lineTo(x(ms), y(highest));
      else if (!isDown) pdf.lineTo(x(ms) + 0.3, y(lowest));
      isDown = true;
    });
    pdf.stroke(colour);
  }
  for (const { atMs, label } of plot.marks) {
    pdf.moveTo(x(atMs), top).lineTo(x(atMs), bottom).lineWidth(0.5).stroke(INK.quiet);
    pdf.font('strong').fillColor(INK.text).text(label, x(atMs) + 1, top - 1, { lineBreak: false }).font('plain');
  }
  pdf.rect(left, top, right - left, HEIGHT).lineWidth(0.5).stroke(INK.quiet);
  sheet.y = bottom + 20;
}

function drawnOf({ atMs, value, quality, late, gapMs }: PointRows, { fromMs, toMs }: Stretch): ReturnType<Downsampler['drawn']> {
  const drawing = new Downsampler({ fromMs, toMs: Math.max(fromMs + 1, toMs), width: COLUMNS, gapMs });
  drawing.add({ atMs: Float64Array.from(atMs), value: Float64Array.from(value, (one) => one ?? Number.NaN), mark: Uint8Array.from(quality, (one, index) => markOf(one, late[index] ?? false)) });
  return drawing.drawn();
}

/** Round numbers that hold all of it, four to seven. */
function ticksOf(lowest: number, highest: number): number[] {
  if (!Number.isFinite(lowest) || !Number.isFinite(highest)) return [0, 1];
  const span = Math.max(highest - lowest, 1);
  const rough = span / 4;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5, 10].find((one) => one * power >= rough) ?? 10) * power;
  const first = Math.floor(lowest / step);
  const last = Math.max(first + 1, Math.ceil(highest / step));
  return Array.from({ length: last - first + 1 }, (_, index) => Math.round((first + index) * step * 1000) / 1000);
}

/** Full hours, half or quarter hours or minutes of the site's clock; where the clock was changed, the new offset is said. */
function timeTicks({ fromMs, toMs }: Stretch, zone: string): { atMs: number; label: string }[] {
  const stepMin = [1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 1440].find((minutes) => (toMs - fromMs) / (minutes * 60_000) <= 11) ?? 1440;
  const stepMs = stepMin * 60_000;
  const firstOffset = offsetMinutes(fromMs, zone);
  const ticks: { atMs: number; label: string }[] = [];
  for (let atMs = Math.ceil((fromMs + firstOffset * 60_000) / stepMs) * stepMs - firstOffset * 60_000; atMs <= toMs; atMs += stepMs) {
    const offset = offsetMinutes(atMs, zone);
    const clock = new Date(atMs + offset * 60_000).toISOString().slice(11, 16);
    ticks.push({ atMs, label: offset === firstOffset ? clock : `${clock} (${offset < 0 ? '-' : '+'}${Math.abs(offset) / 60})` });
  }
  return ticks;
}
