import { type Unit, findUnit, fromSi, needUnit, toSi } from '../../domain/quantity/unit.ts';
import type { Quantity } from '../api/shift-shapes.ts';
import { type UnitSystem, formatNumber, inSystem } from './units.ts';

/** A quantity as this person reads it, number and unit; one in a unit that the page does not know stands as it came. */
export function formatQuantity(quantity: Quantity, system: UnitSystem, isDifference = false): string {
  const unit = findUnit(quantity.unit, isDifference ? 'temperature-difference' : undefined);
  if (!unit) return `${formatNumber(quantity.value, decimalsOf(quantity.value))} ${quantity.unit}`.trim();
  if (unit.dimension === 'length') return formatBore(quantity, unit, system);
  const shown = inSystem(quantity.value, unit.code, unit.dimension, system);
  const decimals = Math.max(shown.decimals, shown.symbol === unit.symbol && shown.decimals === 0 ? decimalsOf(shown.value) : 0);
  return `${formatNumber(shown.value, unit.dimension === 'pressure' || unit.code === '[ppm]' ? shown.decimals : decimals)} ${shown.symbol}`.trim();
}

/** Lengths over a metre are hoses, those below are bores. */
const LONG_M = 1;
const SIXTEENTHS = 16;

/** Bores in the fractions that stand on the parts where it is one, hoses in whole feet or metres. */
function formatBore({ value }: Quantity, unit: Unit, system: UnitSystem): string {
  const metres = toSi(value, unit);
  if (metres >= LONG_M) {
    const to = needUnit(system === 'us' ? '[ft_i]' : 'm', 'length');
    return `${formatNumber(fromSi(metres, to), system === 'us' ? 0 : 1)} ${to.symbol}`;
  }
  if (system === 'si') return `${formatNumber(metres * 1000, 1)} mm`;
  return `${inches(fromSi(metres, needUnit('[in_i]', 'length')))} in`;
}

/** A sixteenth where it is one to within a fiftieth of it; worn bores are none, and stand as decimals. */
function inches(value: number): string {
  const parts = Math.round(value * SIXTEENTHS);
  if (parts === 0 || Math.abs(value * SIXTEENTHS - parts) > 0.02) return formatNumber(value, 3);
  let [over, under] = [parts, SIXTEENTHS];
  while (over % 2 === 0 && under > 1) [over, under] = [over / 2, under / 2];
  const whole = Math.floor(over / under);
  const rest = over % under;
  if (rest === 0) return String(whole);
  return whole === 0 ? `${rest}/${under}` : `${whole} ${rest}/${under}`;
}

/** A bore in decimals, so that two of them can be compared; with its unit where it is wanted. */
export function boreText({ value, unit }: Quantity, system: UnitSystem, hasUnit: boolean): string {
  const to = needUnit(system === 'us' ? '[in_i]' : 'mm', 'length');
  const text = formatNumber(fromSi(toSi(value, needUnit(unit, 'length')), to), system === 'us' ? 3 : 2);
  return hasUnit ? `${text} ${to.symbol}` : text;
}

function decimalsOf(value: number): number {
  return Number.isInteger(value) || Math.abs(value) >= 100 ? 0 : 1;
}

/** A share of 0 to 1 in percent; never rounded up to the whole, nor down to nothing. */
export function formatShare(share: number, decimals = 0): string {
  const percent = share * 100;
  const step = 10 ** decimals;
  const rounded = Math.round(percent * step) / step;
  if (rounded >= 100 && share < 1) return `${formatNumber(Math.floor(percent * 10 * step) / (10 * step), decimals + 1)} %`;
  if (rounded <= 0 && share > 0) return `< ${formatNumber(1 / step, decimals)} %`;
  return `${formatNumber(rounded, decimals)} %`;
}
