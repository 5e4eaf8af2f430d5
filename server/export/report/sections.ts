import { ENTRY_SPECS } from '../../../domain/shift/entry-kind.ts';
import { findUnit } from '../../../domain/quantity/unit.ts';
import type { ShiftSetup, WrittenLength } from '../../../domain/shift/shift.ts';
import type { ConditionOnShift } from '../../../domain/shift/summary/windows.ts';
import type { ShiftData } from '../shift-data.ts';
import { clock, duration, number, percent, pointLabel, say } from './say.ts';
import { INK, PAGE, type Sheet, WIDTH } from './sheet.ts';

const HOUR_MS = 3_600_000;

function count(many: number, what: string): string {
  return `${many} ${what}${many === 1 ? '' : 's'}`;
}

export function workSections(sheet: Sheet, data: ShiftData): void {
  const { work, nozzle, wear, used, moisture, climate } = data.summary;
  sheet.heading('Blasting, air and abrasive');
  const bore = wear.estimate;
  sheet.facts([
    ['Blasting', work ? duration(work.blasting.value * HOUR_MS) : '–'],
    ['Bursts', work ? `${work.cycles.value}, longest ${number(work.longestBurst.value)} min` : '–'],
    ['Air through the nozzle', `${say(used.air, 0)} free air, computed`],
    ['Abrasive', used.abrasiveEstimate ? `${used.abrasiveEstimate.low} to ${used.abrasiveEstimate.high} kg, estimate` : '–'],
    ['Filled', used.filled ? `${say(used.filled, 0)} in ${count(used.fillings, 'filling')}` : count(used.fillings, 'filling')],
    ['Abrasive lots', used.lots.join(', ') || '–'],
    ['Area done', used.area ? `${say(used.area)}${used.areas.some(({ place }) => place !== '') ? ` (${used.areas.map(({ place }) => place).filter((place) => place !== '').join(', ')})` : ''}` : '–'],
    ['Nozzle bore', wear.isChanged ? 'a nozzle was changed on this shift' : `${say(wear.start, 2)} at the start, ${wear.end ? `${say(wear.end, 2)} gauged last` : 'not gauged again'}`],
    ['Wear, from losses', bore ? `${number(bore.value, 2)} mm (95 %: ${number(bore.low, 2)} to ${number(bore.high, 2)} mm), estimate` : 'can’t be told: two needle readings under flow are needed'],
    ['Change of nozzle at', `${say(wear.limit, 1)} more bore, common practice`],
  ]);
  if (used.stops.length > 0) sheet.table([{ head: 'Stopped for', width: 40 }, { head: 'Times', width: 20, align: 'right' }, { head: 'Together', width: 40, align: 'right' }], used.stops.map(({ reason, count, time }) => [reason, String(count), duration(time.value * 60_000)]));
  if (nozzle) {
    sheet.heading('Pressure at the nozzle while blasting');
    const { wanted } = nozzle;
    sheet.facts([
      ['Lowest, highest', `${say(nozzle.lowest)}, ${say(nozzle.highest)}`],
      ['Half of the time', `${say(nozzle.median)} or less`],
      ['9 tenths of the time', `${say(nozzle.p5)} to ${say(nozzle.p95)}`],
      ['Mean', say(nozzle.mean)],
      ['As wanted', wanted ? `${percent(wanted.inBand)} of the time (${wanted.low} to ${wanted.high} psi)` : 'no wanted pressure is set for this rig'],
      ['Below, above', wanted ? `${percent(wanted.below)}, ${percent(wanted.above)}` : '–'],
      ['Work lost', `${percent(nozzle.lostProduction)} against ${say(nozzle.reference, 0)}, rule of thumb`],
      ['Measured for', duration(nozzle.measured.value * HOUR_MS)],
    ]);
    bars(sheet, nozzle.distribution);
  }
  conditions(sheet, 'Water in the air line', moisture, data.config.site.zone);
  conditions(sheet, 'Steel and weather', climate, data.config.site.zone);
}

/** Shares of the time below this are not drawn one by one. */
const LEAST_SHOWN = 0.01;

/** Shares of the time as bars. */
function bars(sheet: Sheet, distribution: readonly { readonly from: number; readonly to: number; readonly share: number }[]): void {
  const shown = distribution.filter(({ share }) => share >= LEAST_SHOWN);
  const most = Math.max(...shown.map(({ share }) => share), 0.01);
  sheet.need(shown.length * 11 + 8);
  const { pdf } = sheet;
  for (const { from, to, share } of shown) {
    const top = sheet.y;
    pdf.font('plain').fontSize(7.5).fillColor(INK.quiet).text(`${from} to ${to} psi`, PAGE.margin, top, { width: 76, lineBreak: false });
    pdf.rect(PAGE.margin + 80, top + 1, Math.max(0.6, (WIDTH - 140) * (share / most)), 7).fill(INK.data);
    pdf.fillColor(INK.text).text(percent(share), PAGE.margin + WIDTH - 54, top, { width: 54, align: 'right', lineBreak: false });
    sheet.y = top + 11;
  }
  const rest = distribution.reduce((sum, { share }) => sum + (share < LEAST_SHOWN ? share : 0), 0);
  if (rest > 0) sheet.paragraph(`Pressures that held for less than ${percent(LEAST_SHOWN)} of the time each, as the nozzle starts and stops: ${percent(rest)} together.`, { quiet: true, size: 7.5 });
  sheet.y += 4;
}

function conditions(sheet: Sheet, title: string, held: readonly ConditionOnShift[], zone: string): void {
  if (held.length === 0) return;
  sheet.heading(title);
  sheet.table(
    [{ head: 'Condition', width: 36 }, { head: 'Met', width: 13, align: 'right' }, { head: 'Missed', width: 13, align: 'right' }, { head: 'Can’t say', width: 13, align: 'right' }, { head: 'Worst', width: 11, align: 'right' }, { head: 'Limit from', width: 26 }],
    held.map(({ point, says, side, limit, met, missed, unknown, worst, source }) => [`${pointLabel(point)}, ${side === 'at-least' ? 'at least' : 'at most'} ${say(limit)}: ${says}`, duration(met.value * 60_000), duration(missed.value * 60_000), duration(unknown.value * 60_000), say(worst), source]),
  );
  for (const { says, windows } of held) {
    if (windows.length === 0) continue;
    const shown = windows.slice(0, 8).map(({ fromMs, toMs }) => `${clock(fromMs, zone)} to ${clock(toMs, zone)}`);
    sheet.paragraph(`Missed (${says}): ${shown.join('; ')}${windows.length > shown.length ? `; ${windows.length - shown.length} more in the record` : ''}.`, { quiet: true });
  }
}

export function peopleSections(sheet: Sheet, { summary, config }: ShiftData): void {
  sheet.heading('People under the hood, and carbon monoxide');
  if (summary.people.length === 0) {
    sheet.paragraph('Nobody was logged under a hood on this shift: there is no exposure by person.');
    return;
  }
  sheet.table(
    [{ head: 'Name', width: 16 }, { head: 'Under hood', width: 14, align: 'right' }, { head: 'Measured', width: 12, align: 'right' }, { head: 'Highest', width: 12, align: 'right' }, { head: '5 min', width: 11, align: 'right' }, { head: '15 min', width: 11, align: 'right' }, { head: '8 h average', width: 16, align: 'right' }, { head: 'COHb, estimate', width: 14, align: 'right' }],
    summary.people.map((one) => [
      one.name,
      duration(one.time.value * HOUR_MS),
      percent(one.measured, 0),
      say(one.highest),
      say(one.highest5min),
      say(one.highest15min),
      one.average8h && one.average8hAtLeast && one.average8hAtMost && one.average8hAtLeast.value !== one.average8hAtMost.value ? `${say(one.average8h)} (${one.average8hAtLeast.value} to ${one.average8hAtMost.value})` : say(one.average8h),
      say(one.carboxyhaemoglobin, 2),
    ]),
  );
  for (const { name, underHood } of summary.people) sheet.paragraph(`${name}: ${underHood.map(({ fromMs, toMs }) => `${clock(fromMs, config.site.zone)} to ${clock(toMs, config.site.zone)}`).join('; ')}.`, { quiet: true });
}

export function alarmSections(sheet: Sheet, { summary, config }: ShiftData): void {
  const { alarms } = summary;
  const { zone } = config.site;
  sheet.heading('Alarms, and how fast they were answered');
  const { response, metrics, byPriority } = alarms;
  sheet.facts([
    ['Raised', `${metrics.annunciated}, ${alarms.audible} of them audible`],
    ['By priority', `critical ${byPriority.critical}, high ${byPriority.high}, medium ${byPriority.medium}, low ${byPriority.low}`],
    ['Most in ten minutes', String(metrics.peakTenMin)],
    ['Floods', metrics.floods === 0 ? 'none' : `${metrics.floods}, ${percent(metrics.inFlood)} of the shift`],
    ['Acknowledged after', response.medianToAcknowledge ? `${say(response.medianToAcknowledge)} (median), ${say(response.slowestToAcknowledge)} at the slowest` : 'none was acknowledged'],
    ['Not acknowledged', `${response.neverAcknowledged} audible`],
    ['Blaster out, confirmed', response.slowestToOut ? `${say(response.slowestToOut)} after the alarm, at the slowest` : '–'],
    ['Shelved, out of service', `${metrics.shelved}, ${metrics.outOfService}`],
  ]);
  if (alarms.occurrences.length === 0) return;
  sheet.table(
    [{ head: 'Raised', width: 12 }, { head: 'Alarm', width: 34 }, { head: 'Priority', width: 11 }, { head: 'Value, limit', width: 20 }, { head: 'Acknowledged', width: 22 }, { head: 'Over', width: 12 }],
    alarms.occurrences.map((one) => [
      one.stoodBefore ? 'before the shift' : clock(one.raisedAtMs, zone),
      one.title,
      one.priority,
      one.value === null || one.unit === '{count}' ? '–' : `${say({ value: one.value, unit: one.unit })}${one.limit === null ? '' : `, limit ${number(one.limit)}`}`,
      one.acknowledgedAtMs === null ? '–' : `${clock(one.acknowledgedAtMs, zone)} ${one.acknowledgedBy ?? ''}`,
      clock(one.clearedAtMs, zone),
    ]),
  );
}

export function entrySections(sheet: Sheet, data: ShiftData, photo: (sha256: string) => Uint8Array | null): void {
  const { items, config, recorded } = data;
  const { zone } = config.site;
  const { shift } = recorded;
  sheet.heading('Crew and setup');
  sheet.facts([['Crew', shift.crew.map(({ name, job }) => (job === '' ? name : `${name} (${job})`)).join(', ') || 'not told'], ...setupFacts(shift.setup)]);
  if (shift.calibrations.length > 0) sheet.table([{ head: 'Sensor', width: 40 }, { head: 'Certificate', width: 30 }, { head: 'Done', width: 15 }, { head: 'Due', width: 15 }], shift.calibrations.map(({ point, certificate, done, due }) => [point, certificate, done, due]));
  else sheet.paragraph('No calibration certificates were told for this shift.', { quiet: true });

  const entries = items.flatMap((item) => (item.kind === 'entry' ? [item] : []));
  if (entries.length > 0) {
    sheet.heading('Entered by hand');
    sheet.table(
      [{ head: 'At', width: 12 }, { head: 'What', width: 28 }, { head: 'Value', width: 18 }, { head: 'Where, what', width: 26 }, { head: 'By', width: 16 }],
      entries.map(({ atMs, entry, value, second, unit, place, text, by }) => [clock(atMs, zone), ENTRY_SPECS[entry].label, value === null ? '' : `${say({ value, unit: unit ?? '' }, 2)}${second === null ? '' : `, wet ${say({ value: second, unit: unit ?? '' }, 2)}`}`, [place, text].filter((one) => one !== '').join(', '), by]),
    );
  }
  const said = items.flatMap((item, index): string[][] => {
    const at = clock(item.atMs, zone);
    switch (item.kind) {
      case 'note':
        return [[at, `Note ${items.slice(0, index + 1).filter(({ kind }) => kind === 'note').length}, placed at ${clock(item.placedAtMs, zone)}${item.point === null ? '' : ` on ${pointLabel(item.point).toLowerCase()}`}: ${item.text}${item.photo === null ? '' : ` (photo ${item.photo.slice(0, 12)})`}`, item.by]];
      case 'handover':
        return [[at, `Handed over to ${item.to}: ${item.text}`, item.by]];
      case 'setup':
        return [[at, `Setup changed: ${setupFacts(item.setup).map(([name, value]) => `${name.toLowerCase()} ${value}`).join(', ') || 'nothing told'}`, item.by]];
      case 'correction':
        return [[at, `Correction of ${item.of}: ${item.text}`, item.by]];
      case 'entry':
      case 'hood-in':
      case 'hood-out':
      case 'photo':
        return [];
    }
  });
  if (said.length > 0) {
    sheet.heading('Notes, handovers, corrections');
    sheet.table([{ head: 'At', width: 12 }, { head: 'What', width: 70 }, { head: 'By', width: 18 }], said);
  }
  photos(sheet, data, photo);
}

function setupFacts(setup: ShiftSetup): [string, string][] {
  const length = (written: WrittenLength | null): string => (written === null ? '' : `${number(written.value, 4)} ${findUnit(written.unit, 'length')?.symbol ?? written.unit}`);
  const facts: [string, string][] = [
    ['Nozzle bore', length(setup.nozzleBore)],
    ['Hose bore', length(setup.hoseBore)],
    ['Hose length', length(setup.hoseLength)],
    ['Compressor', setup.compressor],
    ['Respirator', setup.respirator],
    ['Breathing filter', setup.breathingFilter],
    ['Abrasive', setup.abrasive],
    ['Notes on the setup', setup.notes],
  ];
  return facts.filter(([, value]) => value !== '');
}

const PHOTO_HEIGHT = 150;

function photos(sheet: Sheet, { items, config }: ShiftData, bytesOf: (sha256: string) => Uint8Array | null): void {
  const added = items.flatMap((item) => (item.kind === 'photo' ? [item] : []));
  if (added.length === 0) return;
  sheet.heading('Photos', PHOTO_HEIGHT);
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
      sheet.paragraph('This photo can’t be drawn; its bytes are in the record.', { quiet: true });
    }
    sheet.paragraph(`Added ${clock(atMs, config.site.zone)} by ${by}, SHA-256 ${photo}`, { quiet: true, size: 7 });
  }
}
