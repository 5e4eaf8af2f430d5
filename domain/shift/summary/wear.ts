import { boreChange, WEAR_LIMIT } from '../../air/bore-change.ts';
import { pointToSi } from '../../points/point-unit.ts';
import { type AbsolutePressure, gauge } from '../../quantity/pressure.ts';
import type { Figure } from '../headline.ts';
import { metresOf, type Shift, type ShiftItem } from '../shift.ts';
import { type Series, valueAt } from './series.ts';

export interface NozzleWear {
  /** By plug gauge; the bore told at the start where it was not gauged then. */
  readonly start: Figure | null;
  readonly end: Figure | null;
  readonly gauged: readonly { readonly atMs: number; readonly bore: Figure; readonly by: string }[];
  /** Change of bore from first to last needle reading, computed from the losses, with its 95 % limits; null where it can't be told. */
  readonly estimate: { readonly value: number; readonly low: number; readonly high: number; readonly unit: string } | null;
  readonly limit: Figure;
  /** True where a nozzle was changed on the shift, so that start and end are of two nozzles. */
  readonly isChanged: boolean;
}

const MM = 1000;
const mm = (metres: number): Figure => ({ value: Math.round(metres * MM * 100) / 100, unit: 'mm' });
/** Of one gauge after zero match: half a per cent of 200 psi over the square root of two (practice, no source), Pa. */
const GAUGE_ERROR = 0.7 * 6894.757293168361;

/** What is known of the bore over a shift. */
export function wearOn(shift: Shift, items: readonly ShiftItem[], supply: Series | undefined, fitted: { readonly nozzle: number | null; readonly hose: { readonly bore: number; readonly length: number } | null }, atmosphere: AbsolutePressure): NozzleWear {
  const gauged = items.flatMap((item) => (item.kind === 'entry' && item.entry === 'plug-gauge' && item.value !== null ? [{ atMs: item.atMs, bore: mm(item.value / MM), by: item.by }] : []));
  const told = metresOf(shift.setup.nozzleBore) ?? fitted.nozzle;
  const changed = items.some((item) => item.kind === 'setup' && metresOf(item.setup.nozzleBore) !== null && metresOf(item.setup.nozzleBore) !== told);
  return {
    start: gauged[0]?.bore ?? (told === null ? null : mm(told)),
    end: gauged.length > 1 ? (gauged.at(-1)?.bore ?? null) : null,
    gauged,
    estimate: changed ? null : estimateOf(items, supply, told, fitted.hose, atmosphere),
    limit: mm(WEAR_LIMIT),
    isChanged: changed,
  };
}

/** Two needle readings under flow, and the bore that was there at the first: what the losses say of the bore at the last. */
function estimateOf(items: readonly ShiftItem[], supply: Series | undefined, bore: number | null, hose: { readonly bore: number; readonly length: number } | null, atmosphere: AbsolutePressure): NozzleWear['estimate'] {
  if (!supply || bore === null || hose === null) return null;
  const pairs = items.flatMap((item) => {
    if (item.kind !== 'entry' || item.entry !== 'needle' || item.value === null) return [];
    const machine = valueAt(supply, item.atMs);
    return machine === null || machine <= item.value ? [] : [{ machine: gauge(pointToSi('supply-pressure', machine)), nozzle: gauge(pointToSi('nozzle-pressure', item.value)) }];
  });
  const [first, last] = [pairs[0], pairs.at(-1)];
  if (!first || !last || pairs.length < 2) return null;
  const change = boreChange({ hose, atmosphere, baseline: { ...first, bore }, now: last, gaugeStandardError: GAUGE_ERROR })?.change;
  if (!change) return null;
  const inMm = (metres: number): number => mm(metres).value;
  return { value: inMm(change.value), low: inMm(change.low), high: inMm(change.high), unit: 'mm' };
}
