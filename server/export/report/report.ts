import type { Language } from '../../../domain/shift/language.ts';
import { type Shift, shiftState } from '../../../domain/shift/shift.ts';
import type { Coverage, Gap } from '../../../domain/shift/summary/coverage.ts';
import type { ReportWords } from '../../../domain/words/report-words.ts';
import { roleName } from '../../../domain/words/terms.ts';
import type { ShiftData } from '../shift-data.ts';
import { alarmSections, entrySections, peopleSections, workSections } from './sections.ts';
import { drawPlots } from './plots.ts';
import { clock, duration, percent, say } from './say.ts';
import { Sheet } from './sheet.ts';
import { type Voice, voiceOf } from './voice.ts';

export interface ReportOptions {
  readonly version: string;
  /** Bytes of a photo, or null where the record has none. */
  readonly photo: (sha256: string) => Uint8Array | null;
  readonly isReplay: boolean;
  readonly language: Language;
  /** Of what was sealed in another language this is a translation: which, and the root of the seal. */
  readonly translates?: { readonly from: Language; readonly root: string };
}

/** The report of a shift as PDF, for people who were not there. The same data and version give the same bytes: nothing in it tells when it was made. */
export async function shiftReport(data: ShiftData, options: ReportOptions): Promise<Uint8Array> {
  const { recorded, config, endMs, rigName, built } = data;
  const { shift } = recorded;
  const { zone } = config.site;
  const voice = voiceOf(options.language);
  const { words } = voice;
  const sheet = new Sheet({
    title: words.titleOf(shift.id),
    subject: `${config.site.name}, ${rigName}`,
    dateMs: endMs,
    foot: words.foot(shift.id, options.version),
    banner: options.isReplay ? words.replay : shift.drill ? words.drill : null,
    language: options.language,
    pageOf: words.pageOf,
  });
  sheet.title(words.title, `${config.site.name} · ${rigName}${built === '' ? '' : ` · ${voice.tell(built)}`}`);
  sheet.facts([
    [words.shift, shift.id],
    [words.state, words.states[stateOf(shift)]],
    [words.started, words.by(clock(shift.startedAtMs, zone, true), shift.startedBy)],
    [words.ended, endedText(shift, endMs, zone, words)],
    [words.length, duration(endMs - shift.startedAtMs)],
    [words.clock, words.timesOf(zone)],
  ]);
  if (options.translates) sheet.box(words.translation(words.sealedIn[options.translates.from], options.translates.root));
  sheet.box(words.caution);
  inShort(sheet, data, voice);
  signatures(sheet, data, voice);
  coverage(sheet, data, voice);
  drawPlots(sheet, data, voice);
  workSections(sheet, data, voice);
  peopleSections(sheet, data, voice);
  alarmSections(sheet, data, voice);
  entrySections(sheet, data, voice, options.photo);
  sheet.heading(words.assumptions);
  for (const assumption of data.summary.assumptions) sheet.paragraph(`• ${voice.tell(assumption)}`, { quiet: true, size: 8 });
  return sheet.finish();
}

/** A shift with both signatures is not sealed yet while its report is made. */
function stateOf(shift: Shift): keyof ReportWords['states'] {
  const state = shiftState(shift);
  return state === 'open' || state === 'ended' ? state : shift.signOffs.length < 2 ? 'signed-once' : 'sealed';
}

function endedText({ endedAtMs, endedBy }: Shift, endMs: number, zone: string, words: ReportWords): string {
  if (endedAtMs === null) return words.stillOpen(clock(endMs, zone, true));
  const at = clock(endedAtMs, zone, true);
  return endedBy === null ? at : words.by(at, endedBy);
}

/** The shift in sentences, for a reader outside the trade. */
function inShort(sheet: Sheet, { summary, config, endMs, recorded }: ShiftData, { words, tell }: Voice): void {
  const { work, nozzle, people, alarms, coMax } = summary;
  sheet.heading(words.inShort);
  const lengthMs = endMs - recorded.shift.startedAtMs;
  if (work) sheet.paragraph(`${words.blasted(duration(work.blasting.value * 3_600_000), duration(lengthMs), String(work.cycles.value))}${work.cyclesFrom === 'handle' ? words.byHandle : words.byPressure}`);
  else sheet.paragraph(words.notMeasured);
  if (nozzle) {
    const wanted = nozzle.wanted;
    sheet.paragraph(
      `${words.halfAt(say(nozzle.median))}${wanted ? words.inBand(percent(wanted.inBand, 0), String(wanted.low), String(wanted.high)) : ''}${words.cost(percent(nozzle.lostProduction), say(nozzle.reference, 0))}`,
    );
  }
  if (coMax) sheet.paragraph(`${words.coAt(say(coMax))}${people.length === 0 ? words.nobodyUnder : `; ${people.map(({ name, time }) => words.wasUnder(name, duration(time.value * 3_600_000))).join(', ')}`}.`);
  else sheet.paragraph(words.noCo, { colour: '#b3261e' });
  const first = alarms.occurrences.filter(({ priority, stoodBefore }) => priority === 'critical' && !stoodBefore).map(({ title, raisedAtMs }) => words.alarmAt(tell(title), clock(raisedAtMs, config.site.zone)));
  const critical = String(alarms.byPriority.critical);
  const list = (all: readonly string[]): string => (all.length === 0 ? '' : `: ${all.slice(0, 4).join('; ')}${all.length > 4 ? words.andMore : ''}`);
  sheet.paragraph(alarms.audible === 0 ? words.noAlarm : `${alarms.audible === 1 ? words.oneAlarm(critical) : words.alarms(String(alarms.audible), critical)}${list(first)}.`);
  const stood = alarms.occurrences.filter(({ stoodBefore }) => stoodBefore);
  if (stood.length > 0) sheet.paragraph(`${stood.length === 1 ? words.oneStood : words.stood(String(stood.length))}${list(stood.map(({ title }) => tell(title)))}.`);
}

function signatures(sheet: Sheet, { recorded, config }: ShiftData, { words, terms, language }: Voice): void {
  sheet.heading(words.signatures, 30);
  const { signOffs } = recorded.shift;
  if (signOffs.length === 0) sheet.paragraph(words.nobodySigned);
  else sheet.table([{ head: words.name, width: 26 }, { head: words.role, width: 18 }, { head: words.meaning, width: 24 }, { head: words.signed, width: 32 }], signOffs.map(({ name, role, meaning, atMs }) => [name, roleName(role, language), terms.meanings[meaning], clock(atMs, config.site.zone, true)]));
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

function coverage(sheet: Sheet, { summary, config }: ShiftData, voice: Voice): void {
  const { words } = voice;
  sheet.heading(words.coverage);
  if (summary.coverage.length === 0) {
    sheet.paragraph(words.noSensor, { colour: '#b3261e' });
    return;
  }
  const gaps = commonGaps(summary.coverage);
  sheet.table(
    [{ head: words.sensor, width: 40 }, { head: words.on, width: 18 }, { head: words.covered, width: 14, align: 'right' }, { head: words.gaps, width: 10, align: 'right' }, { head: words.longest, width: 18, align: 'right' }],
    summary.coverage.map(({ owner, point, fraction, gaps: ofPoint }) => [voice.point(point), owner, percent(fraction), String(ofPoint.length), ofPoint.length === 0 ? '–' : duration(Math.max(...ofPoint.map(({ fromMs, toMs }) => toMs - fromMs)))]),
  );
  if (gaps.length === 0) sheet.paragraph(words.noGaps);
  else {
    const { zone } = config.site;
    // What it says belongs to the table below it.
    sheet.need(56);
    sheet.paragraph(gaps.length > GAPS_SHOWN ? words.longestOf(String(GAPS_SHOWN), String(gaps.length)) : words.allGaps, { quiet: true });
    sheet.table(
      [{ head: words.gapIn, width: 34 }, { head: words.from, width: 14 }, { head: words.to, width: 14 }, { head: words.length, width: 14 }, { head: words.cause, width: 24 }],
      gaps.slice(0, GAPS_SHOWN).map(({ points, fromMs, toMs, cause }) => [points.length <= 2 ? points.map((point) => voice.point(point)).join(', ') : points.length === summary.coverage.length ? words.allSensors : words.others(voice.point(points[0] ?? ''), String(points.length - 1)), clock(fromMs, zone), clock(toMs, zone), duration(toMs - fromMs), voice.cause(cause)]),
    );
  }
}
