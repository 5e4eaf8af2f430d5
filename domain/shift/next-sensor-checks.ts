import type { Entry, Situation } from '../alarms/situation.ts';
import { findPointKind, type PointKind } from '../points/catalogue.ts';
import { onGrid } from '../points/reading.ts';
import { convert, findUnit, needUnit } from '../quantity/unit.ts';
import type { BumpTestRecord, CalibrationRecord, SensorCheck, SensorCheckAction } from '../points/sensor-check.ts';

/** Monitors that a gas is let onto. */
const GAS_POINTS: readonly string[] = ['breathing-air-co', 'breathing-air-oxygen'];
/** The alarms and the check before blasting count for this one, by its entries. */
const COUNTED_POINT = 'breathing-air-co';
/** Two clocks may differ so much. */
const CLOCKS_MS = 60_000;
const YEAR_MS = 366 * 24 * 3_600_000;
/** No certificate holds longer. */
const LONGEST_YEARS = 10;
/** Kept of each point and kind; older ones stand in the journal. */
const KEPT = 12;

/** The situation after a sensor was checked, or why the record can't be. Records are only added: a wrong one is followed by a right one. */
export function nextSensorChecks(situation: Situation, action: SensorCheckAction, by: string, atMs: number): { readonly situation: Situation; readonly refusal: string | null } {
  const made = readSensorCheck(action, by, atMs);
  if ('refusal' in made) return { situation, refusal: made.refusal };
  const { check } = made;
  const alike = situation.checks.filter(({ kind, point }) => kind === check.kind && point === check.point);
  const twin = alike.find((one) => one.doneAtMs === check.doneAtMs && certificateOf(one) === certificateOf(check));
  if (twin) return { situation, refusal: `${check.point}: already recorded by ${twin.toldBy}, for the same time` };
  const kept = [...alike, check].sort((a, b) => a.doneAtMs - b.doneAtMs || a.toldAtMs - b.toldAtMs).slice(-KEPT);
  const checks = [...situation.checks.filter((one) => !alike.includes(one)), ...kept];
  return { situation: count({ ...situation, checks }, check), refusal: null };
}

function certificateOf(check: SensorCheck): string {
  return check.kind === 'calibration' ? check.certificate : '';
}

/** What is counted from entries is counted from the record: a failed bump test proves nothing, so none counts until one passes. */
function count(situation: Situation, check: SensorCheck): Situation {
  const name = check.kind === 'calibration' ? 'calibration-done' : 'bump-done';
  const known = situation.entries[name];
  if (check.point !== COUNTED_POINT || (known && known.atMs > check.doneAtMs)) return situation;
  const entry: Entry = { atMs: check.doneAtMs, by: check.doneBy, value: null, ...(check.kind === 'calibration' ? { dueAtMs: check.dueAtMs } : {}) };
  const { [name]: _counted, ...others } = situation.entries;
  return { ...situation, entries: check.kind === 'bump-test' && !check.isPassed ? others : { ...others, [name]: entry } };
}

/** The record that an action tells, or what is wrong with it. */
export function readSensorCheck(action: SensorCheckAction, by: string, atMs: number): { readonly check: SensorCheck } | { readonly refusal: string } {
  const kind = findPointKind(action.point);
  if (!kind || kind.origin !== 'measured' || kind.state) return { refusal: `point: found ${JSON.stringify(action.point)}, expected a measured point with a number, e.g. ${COUNTED_POINT}` };
  if (action.doneAtMs > atMs + CLOCKS_MS) return { refusal: 'doneAt: lies in the future' };
  if (action.doneAtMs < atMs - LONGEST_YEARS * YEAR_MS) return { refusal: `doneAt: lies more than ${LONGEST_YEARS} years back` };
  const base = { point: action.point, doneAtMs: Math.min(action.doneAtMs, atMs), toldAtMs: atMs, toldBy: by, doneBy: action.doneBy.trim() || by, note: action.text.trim() };
  return action.kind === 'record-calibration' ? readCalibration(action, kind, base) : readBumpTest(action, kind, base);
}

type Base = Omit<CalibrationRecord, 'kind' | 'certificate' | 'dueAtMs' | 'asFound' | 'asLeft'>;
type Read<T> = { readonly check: T } | { readonly refusal: string };

function readCalibration(action: Extract<SensorCheckAction, { kind: 'record-calibration' }>, kind: PointKind, base: Base): Read<CalibrationRecord> {
  if (action.certificate.trim() === '') return { refusal: 'certificate: say which' };
  if (action.dueAtMs <= action.doneAtMs) return { refusal: 'dueAt: lies before doneAt' };
  if (action.dueAtMs > action.doneAtMs + LONGEST_YEARS * YEAR_MS) return { refusal: `dueAt: lies more than ${LONGEST_YEARS} years after doneAt` };
  const asFound = inPointUnit('asFound', action.asFound, kind);
  if (typeof asFound === 'string') return { refusal: asFound };
  const asLeft = inPointUnit('asLeft', action.asLeft, kind);
  if (typeof asLeft === 'string') return { refusal: asLeft };
  return { check: { kind: 'calibration', ...base, certificate: action.certificate.trim(), dueAtMs: action.dueAtMs, asFound, asLeft } };
}

function readBumpTest(action: Extract<SensorCheckAction, { kind: 'record-bump-test' }>, kind: PointKind, base: Base): Read<BumpTestRecord> {
  if (!GAS_POINTS.includes(action.point)) return { refusal: `point: found ${JSON.stringify(action.point)}, expected one that a gas is let onto: ${GAS_POINTS.join(', ')}` };
  const gas = inPointUnit('gas', action.gas, kind);
  if (typeof gas === 'string') return { refusal: gas };
  if (gas === null || gas < 0) return { refusal: `gas: found ${action.gas.value}, expected 0 or more` };
  return { check: { kind: 'bump-test', ...base, gas, isPassed: action.isPassed } };
}

/** A written value in the point's unit; why not, as text. */
function inPointUnit(field: string, written: { readonly value: number; readonly unit: string } | null, kind: PointKind): number | string | null {
  if (written === null) return null;
  const unit = findUnit(written.unit, kind.dimension);
  if (!unit) return `${field}: found the unit ${JSON.stringify(written.unit)}, expected one of ${kind.dimension}, e.g. ${kind.unit}`;
  const own = needUnit(kind.unit, kind.dimension);
  const value = onGrid(convert(written.value, unit, own), kind.resolution);
  const [low, high] = kind.plausible;
  return value >= low && value <= high ? value : `${field}: found ${value} ${own.symbol}, expected ${low} to ${high} ${own.symbol}`;
}

/** One line for a person, without who told it. */
export function sensorCheckText(check: SensorCheck): string {
  const kind = findPointKind(check.point);
  const symbol = (kind && needUnit(kind.unit, kind.dimension).symbol) ?? '';
  const by = check.doneBy === check.toldBy ? '' : `done by ${check.doneBy}`;
  const day = (ms: number): string => new Date(ms).toISOString().slice(0, 10);
  const value = (label: string, number: number | null): string => (number === null ? '' : `${label} ${number} ${symbol}`);
  const said =
    check.kind === 'calibration'
      ? [`certificate ${check.certificate}`, `done ${day(check.doneAtMs)}`, `due ${day(check.dueAtMs)}`, value('found at', check.asFound), value('left at', check.asLeft), by, check.note]
      : [check.isPassed ? 'passed' : 'FAILED', value('gas of', check.gas), by, check.note];
  return `${kind?.label ?? check.point}: ${said.filter((part) => part !== '').join(', ')}`;
}
