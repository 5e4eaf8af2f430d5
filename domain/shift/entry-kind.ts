import type { EntryKind } from '../alarms/situation.ts';
import { onGrid } from '../points/reading.ts';
import { convert, findUnit, needUnit, type Dimension } from '../quantity/unit.ts';

/** What an entry by hand is: its unit, what is possible, and what must be said with it. */
export interface EntrySpec {
  readonly label: string;
  /** UCUM code of what is kept; null for an entry without a number. */
  readonly unit: string | null;
  readonly dimension: Dimension | null;
  /** In `unit`. */
  readonly low: number;
  readonly high: number;
  readonly resolution: number;
  readonly needs: readonly ('value' | 'second' | 'place' | 'text')[];
}

/** One-tap reasons for a stop: what is paid standby is told by the contract, not here. */
export const STOP_REASONS = ['weather', 'client', 'compressor', 'breakdown', 'moving', 'break', 'other'] as const;

const bare = (label: string, needs: EntrySpec['needs'] = []): EntrySpec => ({ label, unit: null, dimension: null, low: 0, high: 0, resolution: 1, needs });
const number = (label: string, unit: string, dimension: Dimension, range: readonly [low: number, high: number], resolution: number, needs: EntrySpec['needs'] = []): EntrySpec => ({ label, unit, dimension, low: range[0], high: range[1], resolution, needs });

export const ENTRY_SPECS: Readonly<Record<EntryKind, EntrySpec>> = {
  needle: number('Needle at the nozzle', '[psi]', 'pressure', [0, 300], 0.1),
  blotter: bare('Blotter test'),
  spot: number('Steel, spot reading', 'Cel', 'temperature', [-60, 200], 0.1),
  'plug-gauge': number('Plug gauge', 'mm', 'length', [2, 50], 0.01),
  'pot-filled': number('Pot filled', 'kg', 'mass', [0, 50_000], 1),
  'pot-open': bare('Pot open'),
  'pot-closed': bare('Pot closed'),
  'bump-done': bare('Bump test done'),
  'calibration-done': bare('Calibration done'),
  'filter-changed': bare('Breathing filter changed'),
  'stop-announced': number('Stop of the air announced', 'min', 'time', [0, 1440], 1),
  'wet-dry-bulb': number('Wet and dry bulb', 'Cel', 'temperature', [-60, 80], 0.1, ['value', 'second']),
  'abrasive-lot': bare('Abrasive lot', ['text']),
  stopped: bare('Work stopped', ['text']),
  resumed: bare('Work resumed'),
  'area-done': number('Area done', 'm2', 'area', [0, 100_000], 0.1, ['value']),
  permit: bare('Permit', ['text']),
  'respirator-fit': bare('Respirator fit', ['text']),
  'air-sampling': bare('Air sampling', ['text']),
};

/** An entry as somebody wrote it; without a unit the value is in that of its kind. */
interface WrittenEntry {
  readonly entry: EntryKind;
  readonly value: number | null;
  readonly unit?: string | null;
  readonly second?: number | null;
  readonly place: string;
  readonly text: string;
}

/** The numbers of an entry in the unit of its kind and on its grid, or why it is refused. */
export function checkEntry(written: WrittenEntry): { readonly value: number | null; readonly second: number | null } | { readonly refusal: string } {
  const spec = ENTRY_SPECS[written.entry];
  const second = written.second ?? null;
  const said = { value: written.value, second, place: written.place.trim() || null, text: written.text.trim() || null };
  const lacking = spec.needs.find((need) => said[need] === null);
  if (lacking !== undefined) return { refusal: `${spec.label}: ${LACKS[lacking]}` };
  if (written.entry === 'stopped' && !STOP_REASONS.some((reason) => reason === said.text)) return { refusal: `${spec.label}: found ${JSON.stringify(said.text)}, expected one of ${STOP_REASONS.join(', ')}` };
  if (spec.unit === null || spec.dimension === null) return written.value === null && second === null ? { value: null, second: null } : { refusal: `${spec.label}: takes no number, found ${written.value ?? second}` };
  if (second !== null && !spec.needs.includes('second')) return { refusal: `${spec.label}: takes one number, found two` };
  const own = needUnit(spec.unit, spec.dimension);
  const given = written.unit === undefined || written.unit === null ? own : findUnit(written.unit, spec.dimension);
  if (!given) return { refusal: `${spec.label}: found the unit ${JSON.stringify(written.unit)}, expected one of ${spec.dimension}, e.g. ${own.code}` };
  const inOwn = (value: number | null): number | null => (value === null ? null : onGrid(convert(value, given, own), spec.resolution));
  const [value, other] = [inOwn(written.value), inOwn(second)];
  for (const one of [value, other]) if (one !== null && !(one >= spec.low && one <= spec.high)) return { refusal: `${spec.label}: found ${one} ${own.symbol}, expected ${spec.low} to ${spec.high} ${own.symbol}` };
  // A wet bulb above the dry one is read the wrong way round; half a degree is what two thermometers may differ.
  if (value !== null && other !== null && other > value + 0.5) return { refusal: `${spec.label}: the wet bulb (${other} ${own.symbol}) can’t be above the dry one (${value} ${own.symbol})` };
  return { value, second: other };
}

const LACKS: Readonly<Record<EntrySpec['needs'][number], string>> = { value: 'its value is missing', second: 'the wet bulb is missing', place: 'say where', text: 'say what' };
