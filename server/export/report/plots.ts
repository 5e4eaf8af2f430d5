import type { AlarmOnShift } from '../../../domain/shift/summary/alarms.ts';
import type { Stretch } from '../../../domain/shift/summary/series.ts';
import type { PointRows, ShiftData } from '../shift-data.ts';
import { drawPlot, type PlotLine } from './plot.ts';
import { INK, type Sheet } from './sheet.ts';
import type { Voice } from './voice.ts';

interface Wanted {
  readonly title: keyof Voice['words']['plots'];
  readonly unit: string;
  readonly points: readonly (readonly [point: string, label: keyof Voice['words']['plots']])[];
}

const PLOTS: readonly Wanted[] = [
  { title: 'pressure', unit: 'psi', points: [['nozzle-pressure', 'atNozzle'], ['supply-pressure', 'supply']] },
  { title: 'co', unit: 'ppm', points: [['breathing-air-co', 'reading']] },
  { title: 'breathing', unit: 'psi', points: [['breathing-air-pressure', 'reading']] },
  { title: 'margins', unit: '°C', points: [['steel-margin', 'steelAbove'], ['hose-condensation-margin', 'hoseAbove']] },
  { title: 'humidity', unit: '%', points: [['ambient-humidity', 'outside'], ['surface-humidity', 'atSteel']] },
];

const COLOURS = [INK.data, INK.second] as const;

/** The shift as it was drawn: what matters most of it, with alarm bands and the places of notes. */
export function drawPlots(sheet: Sheet, data: ShiftData, voice: Voice): void {
  const { words } = voice;
  const { summary, config, recorded } = data;
  const within: Stretch = { fromMs: recorded.shift.startedAtMs, toMs: data.endMs };
  const find = (point: string): PointRows | undefined => data.points.find((rows) => rows.point === point && rows.value.some((value) => value !== null));
  const notes = data.items.filter((item) => item.kind === 'note');
  const plots = PLOTS.flatMap((wanted) => {
    const lines = wanted.points.flatMap(([point, label], index): PlotLine[] => ((rows) => (rows ? [{ rows, label: words.plots[label], colour: COLOURS[index] ?? INK.data }] : []))(find(point)));
    return lines.length === 0 ? [] : [{ ...wanted, lines }];
  });
  if (plots.length === 0) return;
  sheet.newPage();
  sheet.heading(words.drawn);
  sheet.paragraph(`${words.drawnAbout}${notes.length === 0 ? '' : words.drawnNotes}`, { quiet: true });
  for (const { title, unit, lines } of plots) {
    const points = lines.map(({ rows }) => rows.point);
    const isOf = (alarm: AlarmOnShift, unit: string | undefined): boolean => points.includes(alarm.point) && alarm.unit === unit;
    drawPlot(sheet, {
      title: words.plots[title],
      unit,
      lines,
      limits: limitsOf(points, summary.alarms.occurrences.filter((alarm) => isOf(alarm, lines[0]?.rows.unit)), data, voice),
      bands: summary.alarms.occurrences.filter((alarm) => isOf(alarm, lines[0]?.rows.unit)).map(({ raisedAtMs, clearedAtMs }) => ({ fromMs: raisedAtMs, toMs: clearedAtMs ?? data.endMs })),
      marks: notes.flatMap((note, index) => (note.kind === 'note' ? [{ atMs: note.placedAtMs, label: String(index + 1) }] : [])),
      within,
      zone: config.site.zone,
    });
  }
}

/** Limits that raised an alarm on this shift, and what was wanted at the nozzle. */
function limitsOf(points: readonly string[], raised: readonly AlarmOnShift[], { summary }: ShiftData, { words, tell }: Voice): { value: number; label: string }[] {
  const limits = new Map(raised.flatMap(({ title, limit }) => (limit === null ? [] : [[limit, tell(title)] as const])));
  const wanted = points.includes('nozzle-pressure') ? summary.nozzle?.wanted : null;
  if (wanted) limits.set(wanted.low, words.plots.wantedLow).set(wanted.high, words.plots.wantedHigh);
  return [...limits].map(([value, label]) => ({ value, label }));
}
