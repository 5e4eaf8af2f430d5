import { PRIORITIES } from '../../../domain/alarms/alarm.ts';
import { ENTRY_SPECS } from '../../../domain/shift/entry-kind.ts';
import { findUnit } from '../../../domain/quantity/unit.ts';
import type { ShiftSetup, WrittenLength } from '../../../domain/shift/shift.ts';
import type { ConditionOnShift } from '../../../domain/shift/summary/windows.ts';
import type { ReportWords } from '../../../domain/words/report-words.ts';
import type { ShiftData } from '../shift-data.ts';
import { clock, duration, number, percent, say } from './say.ts';
import { INK, PAGE, type Sheet, WIDTH } from './sheet.ts';
import type { Voice } from './voice.ts';

const HOUR_MS = 3_600_000;

export function workSections(sheet: Sheet, data: ShiftData, voice: Voice): void {
  const { words, tell } = voice;
  const { work, nozzle, wear, used, moisture, climate } = data.summary;
  sheet.heading(words.work);
  const bore = wear.estimate;
  const fillings = used.fillings === 1 ? words.oneFilling : words.fillings(String(used.fillings));
  sheet.facts([
    [words.blasting, work ? duration(work.blasting.value * HOUR_MS) : '–'],
    [words.bursts, work ? words.burstsLongest(String(work.cycles.value), number(work.longestBurst.value)) : '–'],
    [words.air, words.freeAir(say(used.air, 0))],
    [words.abrasive, used.abrasiveEstimate ? words.estimateKg(String(used.abrasiveEstimate.low), String(used.abrasiveEstimate.high)) : '–'],
    [words.filled, used.filled ? words.filledIn(say(used.filled, 0), fillings) : fillings],
    [words.lots, used.lots.join(', ') || '–'],
    [words.areaDone, used.area ? `${say(used.area)}${used.areas.some(({ place }) => place !== '') ? ` (${used.areas.map(({ place }) => place).filter((place) => place !== '').join(', ')})` : ''}` : '–'],
    [words.bore, wear.isChanged ? words.boreChanged : words.boreAt(say(wear.start, 2), wear.end ? words.gaugedLast(say(wear.end, 2)) : words.notGauged)],
    [words.wear, bore ? words.wearIs(number(bore.value, 2), number(bore.low, 2), number(bore.high, 2)) : words.noWear],
    [words.changeAt, words.moreBore(say(wear.limit, 1))],
  ]);
  if (used.stops.length > 0) sheet.table([{ head: words.stoppedFor, width: 40 }, { head: words.times, width: 20, align: 'right' }, { head: words.together, width: 40, align: 'right' }], used.stops.map(({ reason, count, time }) => [tell(reason), String(count), duration(time.value * 60_000)]));
  if (nozzle) {
    sheet.heading(words.pressureWhile);
    const { wanted } = nozzle;
    sheet.facts([
      [words.lowestHighest, `${say(nozzle.lowest)}, ${say(nozzle.highest)}`],
      [words.halfTime, words.orLess(say(nozzle.median))],
      [words.nineTenths, words.fromTo(say(nozzle.p5), say(nozzle.p95))],
      [words.mean, say(nozzle.mean)],
      [words.asWanted, wanted ? words.wantedFor(percent(wanted.inBand), String(wanted.low), String(wanted.high)) : words.nothingWanted],
      [words.belowAbove, wanted ? `${percent(wanted.below)}, ${percent(wanted.above)}` : '–'],
      [words.lost, words.lostIs(percent(nozzle.lostProduction), say(nozzle.reference, 0))],
      [words.measuredFor, duration(nozzle.measured.value * HOUR_MS)],
    ]);
    bars(sheet, nozzle.distribution, voice);
  }
  conditions(sheet, words.moisture, moisture, data.config.site.zone, voice);
  conditions(sheet, words.climate, climate, data.config.site.zone, voice);
}

/** Shares of the time below this are not drawn one by one. */
const LEAST_SHOWN = 0.01;

/** Shares of the time as bars. */
function bars(sheet: Sheet, distribution: readonly { readonly from: number; readonly to: number; readonly share: number }[], { words }: Voice): void {
  const shown = distribution.filter(({ share }) => share >= LEAST_SHOWN);
  const most = Math.max(...shown.map(({ share }) => share), 0.01);
  sheet.need(shown.length * 11 + 8);
  const { pdf } = sheet;
  for (const { from, to, share } of shown) {
    const top = sheet.y;
    pdf.font('plain').fontSize(7.5).fillColor(INK.quiet).text(words.fromTo(String(from), `${to} psi`), PAGE.margin, top, { width: 76, lineBreak: false });
    pdf.rect(PAGE.margin + 80, top + 1, Math.max(0.6, (WIDTH - 140) * (share / most)), 7).fill(INK.data);
    pdf.fillColor(INK.text).text(percent(share), PAGE.margin + WIDTH - 54, top, { width: 54, align: 'right', lineBreak: false });
    sheet.y = top + 11;
  }
  const rest = distribution.reduce((sum, { share }) => sum + (share < LEAST_SHOWN ? share : 0), 0);
  if (rest > 0) sheet.paragraph(words.briefly(percent(LEAST_SHOWN), percent(rest)), { quiet: true, size: 7.5 });
  sheet.y += 4;
}

function conditions(sheet: Sheet, title: string, held: readonly ConditionOnShift[], zone: string, { words, tell, point: label }: Voice): void {
  if (held.length === 0) return;
  sheet.heading(title);
  sheet.table(
    [{ head: words.condition, width: 36 }, { head: words.met, width: 13, align: 'right' }, { head: words.missed, width: 13, align: 'right' }, { head: words.cantSay, width: 13, align: 'right' }, { head: words.worst, width: 11, align: 'right' }, { head: words.limitFrom, width: 26 }],
    held.map(({ point, says, side, limit, met, missed, unknown, worst, source }) => [(side === 'at-least' ? words.atLeast : words.atMost)(label(point), say(limit), tell(says)), duration(met.value * 60_000), duration(missed.value * 60_000), duration(unknown.value * 60_000), say(worst), tell(source)]),
  );
  for (const { says, windows } of held) {
    if (windows.length === 0) continue;
    const shown = windows.slice(0, 8).map(({ fromMs, toMs }) => words.fromTo(clock(fromMs, zone), clock(toMs, zone)));
    sheet.paragraph(words.missedAt(tell(says), `${shown.join('; ')}${windows.length > shown.length ? words.moreInRecord(String(windows.length - shown.length)) : ''}`), { quiet: true });
  }
}

export function peopleSections(sheet: Sheet, { summary, config }: ShiftData, { words }: Voice): void {
  sheet.heading(words.people);
  if (summary.people.length === 0) {
    sheet.paragraph(words.nobody);
    return;
  }
  sheet.table(
    [{ head: words.name, width: 16 }, { head: words.underHood, width: 14, align: 'right' }, { head: words.measured, width: 12, align: 'right' }, { head: words.highest, width: 12, align: 'right' }, { head: '5 min', width: 11, align: 'right' }, { head: '15 min', width: 11, align: 'right' }, { head: words.average8h, width: 16, align: 'right' }, { head: words.cohb, width: 14, align: 'right' }],
    summary.people.map((one) => [
      one.name,
      duration(one.time.value * HOUR_MS),
      percent(one.measured, 0),
      say(one.highest),
      say(one.highest5min),
      say(one.highest15min),
      one.average8h && one.average8hAtLeast && one.average8hAtMost && one.average8hAtLeast.value !== one.average8hAtMost.value ? `${say(one.average8h)} (${words.fromTo(String(one.average8hAtLeast.value), String(one.average8hAtMost.value))})` : say(one.average8h),
      say(one.carboxyhaemoglobin, 2),
    ]),
  );
  for (const { name, underHood } of summary.people) sheet.paragraph(`${name}: ${underHood.map(({ fromMs, toMs }) => words.fromTo(clock(fromMs, config.site.zone), clock(toMs, config.site.zone))).join('; ')}.`, { quiet: true });
}

export function alarmSections(sheet: Sheet, { summary, config }: ShiftData, { words, terms, tell }: Voice): void {
  const { alarms } = summary;
  const { zone } = config.site;
  sheet.heading(words.alarmsHead);
  const { response, metrics, byPriority } = alarms;
  sheet.facts([
    [words.raised, words.ofAudible(String(metrics.annunciated), String(alarms.audible))],
    [words.byPriority, PRIORITIES.map((priority) => `${terms.priorities[priority].toLowerCase()} ${byPriority[priority]}`).join(', ')],
    [words.mostInTen, String(metrics.peakTenMin)],
    [words.floods, metrics.floods === 0 ? words.none : words.floodShare(String(metrics.floods), percent(metrics.inFlood))],
    [words.acknowledgedAfter, response.medianToAcknowledge ? words.medianSlowest(say(response.medianToAcknowledge), say(response.slowestToAcknowledge)) : words.noneAcknowledged],
    [words.notAcknowledged, words.audible(String(response.neverAcknowledged))],
    [words.outConfirmed, response.slowestToOut ? words.slowestOut(say(response.slowestToOut)) : '–'],
    [words.aside, `${metrics.shelved}, ${metrics.outOfService}`],
  ]);
  if (alarms.occurrences.length === 0) return;
  sheet.table(
    [{ head: words.raised, width: 12 }, { head: words.alarm, width: 34 }, { head: words.priority, width: 11 }, { head: words.valueLimit, width: 20 }, { head: words.acknowledged, width: 22 }, { head: words.over, width: 12 }],
    alarms.occurrences.map((one) => [
      one.stoodBefore ? words.before : clock(one.raisedAtMs, zone),
      tell(one.title),
      terms.priorities[one.priority].toLowerCase(),
      one.value === null || one.unit === '{count}' ? '–' : one.limit === null ? say({ value: one.value, unit: one.unit }) : words.asLimit(say({ value: one.value, unit: one.unit }), number(one.limit)),
      one.acknowledgedAtMs === null ? '–' : `${clock(one.acknowledgedAtMs, zone)} ${one.acknowledgedBy ?? ''}`,
      clock(one.clearedAtMs, zone),
    ]),
  );
}

export function entrySections(sheet: Sheet, data: ShiftData, voice: Voice, photo: (sha256: string) => Uint8Array | null): void {
  const { words, tell } = voice;
  const { items, config, recorded } = data;
  const { zone } = config.site;
  const { shift } = recorded;
  sheet.heading(words.crewSetup);
  sheet.facts([[words.crew, shift.crew.map(({ name, job }) => (job === '' ? name : `${name} (${job})`)).join(', ') || words.notTold], ...setupFacts(shift.setup, words)]);
  if (shift.calibrations.length > 0) sheet.table([{ head: words.sensor, width: 40 }, { head: words.certificate, width: 30 }, { head: words.done, width: 15 }, { head: words.due, width: 15 }], shift.calibrations.map(({ point, certificate, done, due }) => [point, certificate, done, due]));
  else sheet.paragraph(words.noCertificates, { quiet: true });

  const entries = items.flatMap((item) => (item.kind === 'entry' ? [item] : []));
  if (entries.length > 0) {
    sheet.heading(words.byHand);
    sheet.table(
      [{ head: words.at, width: 12 }, { head: words.what, width: 28 }, { head: words.value, width: 18 }, { head: words.whereWhat, width: 26 }, { head: words.who, width: 16 }],
      entries.map(({ atMs, entry, value, second, unit, place, text, by }) => [clock(atMs, zone), tell(ENTRY_SPECS[entry].label), value === null ? '' : `${say({ value, unit: unit ?? '' }, 2)}${second === null ? '' : words.wet(say({ value: second, unit: unit ?? '' }, 2))}`, [place, entry === 'stopped' ? tell(text) : text].filter((one) => one !== '').join(', '), by]),
    );
  }
  const said = items.flatMap((item, index): string[][] => {
    const at = clock(item.atMs, zone);
    switch (item.kind) {
      case 'note':
        return [[at, `${words.note(String(items.slice(0, index + 1).filter(({ kind }) => kind === 'note').length), clock(item.placedAtMs, zone))}${item.point === null ? '' : words.onPoint(voice.point(item.point).toLowerCase())}: ${item.text}${item.photo === null ? '' : words.photo(item.photo.slice(0, 12))}`, item.by]];
      case 'handover':
        return [[at, `${words.handedOver(item.to)}: ${item.text}`, item.by]];
      case 'setup':
        return [[at, words.setupChanged(setupFacts(item.setup, words).map(([name, value]) => `${name.toLowerCase()} ${value}`).join(', ') || words.nothingTold), item.by]];
      case 'correction':
        return [[at, `${words.correctionOf(item.of)}: ${item.text}`, item.by]];
      case 'entry':
      case 'hood-in':
      case 'hood-out':
      case 'photo':
        return [];
    }
  });
  if (said.length > 0) {
    sheet.heading(words.said);
    sheet.table([{ head: words.at, width: 12 }, { head: words.what, width: 70 }, { head: words.who, width: 18 }], said);
  }
  photos(sheet, data, words, photo);
}

function setupFacts(setup: ShiftSetup, { setup: names }: ReportWords): [string, string][] {
  const length = (written: WrittenLength | null): string => (written === null ? '' : `${number(written.value, 4)} ${findUnit(written.unit, 'length')?.symbol ?? written.unit}`);
  const facts: [string, string][] = [
    [names.nozzleBore, length(setup.nozzleBore)],
    [names.hoseBore, length(setup.hoseBore)],
    [names.hoseLength, length(setup.hoseLength)],
    [names.compressor, setup.compressor],
    [names.respirator, setup.respirator],
    [names.breathingFilter, setup.breathingFilter],
    [names.abrasive, setup.abrasive],
    [names.notes, setup.notes],
  ];
  return facts.filter(([, value]) => value !== '');
}

const PHOTO_HEIGHT = 150;

function photos(sheet: Sheet, { items, config }: ShiftData, words: ReportWords, bytesOf: (sha256: string) => Uint8Array | null): void {
  const added = items.flatMap((item) => (item.kind === 'photo' ? [item] : []));
  if (added.length === 0) return;
  sheet.heading(words.photos, PHOTO_HEIGHT);
  for (const { photo, atMs, by } of added) {
    sheet.need(PHOTO_HEIGHT + 20);
    const bytes = bytesOf(photo);
    const top = sheet.y;
    try {
      if (!bytes) throw new RangeError('not in the record');
      sheet.pdf.image(Buffer.from(bytes), PAGE.margin, top, { fit: [WIDTH, PHOTO_HEIGHT] });
      sheet.y = top + PHOTO_HEIGHT + 4;
    } catch {
      // A broken picture must not keep the report from being made: its bytes are in the record as they came.
      sheet.y = top;
      sheet.paragraph(words.photoMissing, { quiet: true });
    }
    sheet.paragraph(words.photoAdded(clock(atMs, config.site.zone), by, photo), { quiet: true, size: 7 });
  }
}
