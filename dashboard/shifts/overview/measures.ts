import { convert, findUnit, needUnit } from '../../../domain/quantity/unit.ts';
import type { Quantity, ShiftHeadline } from '../../api/shift-shapes.ts';
import { formatQuantity, formatShare } from '../../format/quantity.ts';
import { type UnitSystem, formatNumber, inSystem } from '../../format/units.ts';
import type { Words } from '../../words/en.ts';

/** What is plotted of each shift: one number, in the reader's unit. */
export interface Measure {
  readonly key: 'pressure' | 'bore' | 'alarms' | 'lost' | 'co' | 'coverage';
  readonly title: string;
  readonly unit: string;
  /** Least the scale shows; null: from the data. */
  readonly range: readonly [low: number, high: number] | null;
  readonly of: (headline: ShiftHeadline) => number | null;
  readonly say: (headline: ShiftHeadline) => string;
  /** A line joins the marks of a rig: for what changes slowly. */
  readonly isJoined: boolean;
  /** Digits of the scale. */
  readonly decimals: number;
  /** Marked filled where true: what a manager looks at first. */
  readonly stands: (headline: ShiftHeadline) => boolean;
}

export function measuresOf(system: UnitSystem, words: Words): readonly Measure[] {
  const told = words.shifts.overviewPage.measures;
  const none = words.noValue;
  const read = (quantity: Quantity | null): number | null => {
    const unit = quantity && findUnit(quantity.unit);
    return quantity && unit ? inSystem(quantity.value, unit.code, unit.dimension, system).value : null;
  };
  const boreUnit = system === 'us' ? '[in_i]' : 'mm';
  const bore = (quantity: Quantity | null): number | null => (quantity ? convert(quantity.value, needUnit(quantity.unit, 'length'), needUnit(boreUnit, 'length')) : null);
  const say = (quantity: Quantity | null): string => (quantity ? formatQuantity(quantity, system) : none);
  const nothing = (): boolean => false;
  return [
    { key: 'pressure', isJoined: true, title: told.pressure, unit: inSystem(0, '[psi]', 'pressure', system).symbol, range: null, decimals: system === 'us' ? 0 : 1, of: (h) => read(h.nozzleMedian), say: (h) => say(h.nozzleMedian), stands: nothing },
    { key: 'lost', isJoined: true, title: told.lost, unit: '%', range: [0, 10], decimals: 0, of: (h) => (h.lostProduction === null ? null : h.lostProduction * 100), say: (h) => (h.lostProduction === null ? none : formatShare(h.lostProduction)), stands: nothing },
    { key: 'bore', isJoined: true, title: told.bore, unit: system === 'us' ? 'in' : 'mm', range: null, decimals: system === 'us' ? 3 : 1, of: (h) => bore(h.boreEnd), say: (h) => say(h.boreEnd), stands: nothing },
    { key: 'alarms', isJoined: false, title: told.alarms, unit: '', range: [0, 5], decimals: 0, of: (h) => h.audibleAlarms, say: (h) => (h.audibleAlarms === null ? none : `${h.audibleAlarms}${h.criticalAlarms ? `, ${words.shifts.facts.critical(h.criticalAlarms)}` : ''}`), stands: (h) => (h.criticalAlarms ?? 0) > 0 },
    { key: 'co', isJoined: false, title: told.co, unit: 'ppm', range: [0, 12], decimals: 0, of: (h) => read(h.coMax), say: (h) => say(h.coMax), stands: (h) => (read(h.coMax) ?? 0) >= 10 },
    { key: 'coverage', isJoined: false, title: told.coverage, unit: '%', range: [90, 100], decimals: 0, of: (h) => (h.coverage === null ? null : h.coverage * 100), say: (h) => (h.coverage === null ? none : formatShare(h.coverage, 1)), stands: nothing },
  ];
}

/** A scale from low to high in round steps, with its marks; wide enough for all values. */
export function scaleOf(values: readonly number[], least: readonly [number, number] | null): { readonly low: number; readonly high: number; readonly marks: readonly number[] } {
  const low = Math.min(...values, least?.[0] ?? Infinity);
  const high = Math.max(...values, least?.[1] ?? -Infinity);
  if (!Number.isFinite(low) || !Number.isFinite(high)) return { low: 0, high: 1, marks: [0, 1] };
  const room = least ? 0 : Math.max((high - low) * 0.15, Math.abs(high) * 0.02, 1e-6);
  const step = niceStep(Math.max(high - low + 2 * room, 1e-6) / 3);
  const from = Math.floor((low - room) / step + 1e-9) * step;
  const to = Math.ceil((high + room) / step - 1e-9) * step;
  const marks = Array.from({ length: Math.round((to - from) / step) + 1 }, (_, index) => Number((from + index * step).toFixed(6)));
  return { low: from, high: to, marks };
}

function niceStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough));
  return ([1, 2, 2.5, 5, 10].find((one) => one * power >= rough) ?? 10) * power;
}

/** A mark of a scale, with as many digits as its steps need. */
export function scaleText(value: number, decimals: number): string {
  const needed = [0, 1, 2, 3].find((digits) => Math.abs(Number(value.toFixed(digits)) - value) < 1e-6) ?? 3;
  return formatNumber(value, Math.min(Math.max(needed, 0), Math.max(decimals, needed)));
}
