import { shiftState } from '../../../domain/shift/shift.ts';
import type { Coverage, Gap } from '../../../domain/shift/summary/coverage.ts';
import type { ShiftData } from '../shift-data.ts';
import { alarmSections, entrySections, peopleSections, workSections } from './sections.ts';
import { drawPlots } from './plots.ts';
import { clock, duration, percent, pointLabel, say } from './say.ts';
import { Sheet } from './sheet.ts';

export interface ReportOptions {
  readonly version: string;
  /** Bytes of a photo, or null where the record has none. */
  readonly photo: (sha256: string) => Uint8Array | null;
  readonly isReplay: boolean;
}

const CAUTION =
  'Potside monitors and advises; it controls nothing. This report tells what sensors and people recorded, with its gaps. It is not a safety function and no substitute for the carbon monoxide alarm, the deadman or a competent person. Local codes, the equipment’s manuals and licensed practice come first. Estimates are marked as such and are no measurements.';

/** The report of a shift as PDF, for people who were not there. The same data and version give the same bytes: nothing in it tells when it was made. */
export async function shiftReport(data: ShiftData, options: ReportOptions): Promise<Uint8Array> {
  const { recorded, config, endMs, rigName, built } = data;
  const { shift } = recorded;
  const { zone } = config.site;
  const state = shiftState(shift);
  const banner = options.isReplay ? 'REPLAY: recorded readings played again, not what happened at this time' : shift.drill ? 'DRILL: nothing in this report happened for real' : null;
  const sheet = new Sheet({
    title: `Shift report ${shift.id}`,
    subject: `${config.site.name}, ${rigName}`,
    dateMs: endMs,
    foot: `Shift ${shift.id} · Potside ${options.version} · Potside monitors and advises and replaces no CO alarm, deadman or competent person. Local codes and the equipment’s manuals come first.`,
    banner,
  });
  sheet.title('Shift report', `${config.site.name} · ${rigName}${built === '' ? '' : ` · ${built}`}`);
  sheet.facts([
    ['Shift', shift.id],
    ['State', state === 'open' ? 'open: these figures are not final' : state === 'ended' ? 'ended, not signed' : shift.signOffs.length < 2 ? 'signed by one of two' : 'signed by two'],
    ['Started', `${clock(shift.startedAtMs, zone, true)} by ${shift.startedBy}`],
    ['Ended', shift.endedAtMs === null ? `still open; taken up to ${clock(endMs, zone, true)}` : `${clock(shift.endedAtMs, zone, true)}${shift.endedBy === null ? '' : ` by ${shift.endedBy}`}`],
    ['Length', duration(endMs - shift.startedAtMs)],
    ['Clock', `times of ${zone}`],
  ]);
  sheet.box(CAUTION);
  inShort(sheet, data);
  signatures(sheet, data);
  coverage(sheet, data);
  drawPlots(sheet, data);
  workSections(sheet, data);
  peopleSections(sheet, data);
  alarmSections(sheet, data);
  entrySections(sheet, data, options.photo);
  sheet.heading('What the figures assume');
  for (const assumption of data.summary.assumptions) sheet.paragraph(`• ${assumption}`, { quiet: true, size: 8 });
  return sheet.finish();
}

/** The shift in sentences, for a reader outside the trade. */
function inShort(sheet: Sheet, { summary, config, endMs, recorded }: ShiftData): void {
  const { work, nozzle, people, alarms, coMax } = summary;
  sheet.heading('In short');
  const lengthMs = endMs - recorded.shift.startedAtMs;
  if (work) sheet.paragraph(`The nozzle blasted for ${duration(work.blasting.value * 3_600_000)} of ${duration(lengthMs)}, in ${work.cycles.value} bursts${work.cyclesFrom === 'handle' ? ' by the operator’s handle' : ', told from the pressure at the nozzle'}.`);
  else sheet.paragraph('Neither the operator’s handle nor the pressure at the nozzle was measured: how long it blasted can’t be told.');
  if (nozzle) {
    const wanted = nozzle.wanted;
    sheet.paragraph(
      `Half of the blasting was at ${say(nozzle.median)} at the nozzle or less${wanted ? `; ${percent(wanted.inBand, 0)} of it between ${wanted.low} and ${wanted.high} psi, as wanted` : ''}. Low pressure cost about ${percent(nozzle.lostProduction)} of the work, by the trade’s rule of thumb (1.5 % for each psi below ${say(nozzle.reference, 0)}).`,
    );
  }
  if (coMax) sheet.paragraph(`Carbon monoxide in the breathing air was ${say(coMax)} at its highest${people.length === 0 ? '; nobody was logged under a hood' : `; ${people.map(({ name, time }) => `${name} was under the hood for ${duration(time.value * 3_600_000)}`).join(', ')}`}.`);
  else sheet.paragraph('No carbon monoxide reading of the breathing air is in the record of this shift.', { colour: '#b3261e' });
  const first = alarms.occurrences.filter(({ priority, stoodBefore }) => priority === 'critical' && !stoodBefore).map(({ title, raisedAtMs }) => `${title} at ${clock(raisedAtMs, config.site.zone)}`);
  sheet.paragraph(`${alarms.audible === 0 ? 'No alarm sounded.' : `${alarms.audible} ${alarms.audible === 1 ? 'alarm' : 'alarms'} sounded, ${alarms.byPriority.critical} of them critical${first.length === 0 ? '' : `: ${first.slice(0, 4).join('; ')}${first.length > 4 ? '; and more' : ''}`}.`}`);
  const stood = alarms.occurrences.filter(({ stoodBefore }) => stoodBefore);
  if (stood.length > 0) sheet.paragraph(`When the shift began, ${stood.length === 1 ? 'an alarm' : `${stood.length} alarms`} stood already: ${stood.slice(0, 4).map(({ title }) => title).join('; ')}${stood.length > 4 ? '; and more' : ''}.`);
}

function signatures(sheet: Sheet, { recorded, config }: ShiftData): void {
  sheet.heading('Signatures', 30);
  const { signOffs } = recorded.shift;
  if (signOffs.length === 0) sheet.paragraph('Nobody has signed this shift.');
  else sheet.table([{ head: 'Name', width: 26 }, { head: 'Role', width: 18 }, { head: 'Meaning', width: 24 }, { head: 'Signed', width: 32 }], signOffs.map(({ name, role, meaning, atMs }) => [name, role.replaceAll('-', ' '), meaning, clock(atMs, config.site.zone, true)]));
}

/** How complete the record is; gaps that several sensors have together are told once. Beyond so many the rest is in the record. */
const GAPS_SHOWN = 16;

interface CommonGap extends Gap {
  points: string[];
}

/** Gaps of one cause that begin and end within ten seconds of each other are one. */
function commonGaps(coverage: readonly Coverage[]): CommonGap[] {
  const common: CommonGap[] = [];
  for (const { point, gaps } of coverage) {
    for (const gap of gaps) {
      const known = common.find((one) => one.cause === gap.cause && Math.abs(one.fromMs - gap.fromMs) <= 10_000 && Math.abs(one.toMs - gap.toMs) <= 10_000);
      if (known) Object.assign(known, { points: [...known.points, point], fromMs: Math.min(known.fromMs, gap.fromMs), toMs: Math.max(known.toMs, gap.toMs) });
      else common.push({ ...gap, points: [point] });
    }
  }
  return common.sort((a, b) => b.toMs - b.fromMs - (a.toMs - a.fromMs));
}

function coverage(sheet: Sheet, { summary, config }: ShiftData): void {
  sheet.heading('How complete this record is');
  if (summary.coverage.length === 0) {
    sheet.paragraph('No sensor was recorded on this shift.', { colour: '#b3261e' });
    return;
  }
  const gaps = commonGaps(summary.coverage);
  sheet.table(
    [{ head: 'Sensor', width: 40 }, { head: 'On', width: 18 }, { head: 'Covered', width: 14, align: 'right' }, { head: 'Gaps', width: 10, align: 'right' }, { head: 'Longest', width: 18, align: 'right' }],
    summary.coverage.map(({ owner, point, fraction, gaps: ofPoint }) => [pointLabel(point), owner, percent(fraction), String(ofPoint.length), ofPoint.length === 0 ? '–' : duration(Math.max(...ofPoint.map(({ fromMs, toMs }) => toMs - fromMs)))]),
  );
  if (gaps.length === 0) sheet.paragraph('There are no gaps.');
  else {
    const { zone } = config.site;
    sheet.paragraph(gaps.length > GAPS_SHOWN ? `The ${GAPS_SHOWN} longest of ${gaps.length} gaps; all are in the record.` : 'All gaps:', { quiet: true });
    sheet.table(
      [{ head: 'Gap in', width: 34 }, { head: 'From', width: 14 }, { head: 'To', width: 14 }, { head: 'Length', width: 14 }, { head: 'Cause', width: 24 }],
      gaps.slice(0, GAPS_SHOWN).map(({ points, fromMs, toMs, cause }) => [points.length <= 2 ? points.map(pointLabel).join(', ') : points.length === summary.coverage.length ? 'all sensors' : `${pointLabel(points[0] ?? '')} and ${points.length - 1} more`, clock(fromMs, zone), clock(toMs, zone), duration(toMs - fromMs), cause.replaceAll('-', ' ')]),
    );
  }
}
