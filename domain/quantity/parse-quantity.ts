import { type Dimension, type Unit, UnitError, findUnit, needUnit, toSi } from './unit.ts';

/**
 * Quantities as people write them: a number and a unit without a space or with one, `100psi`, `7/16in`, `-5 degC`.
 * UCUM codes are accepted as they are; the shorthand below is what is said on site.
 */
const SHORTHAND: Readonly<Record<string, string>> = {
  psi: '[psi]',
  psig: '[psi]',
  psia: '[psi]',
  inH2O: "[in_i'H2O]",
  inHg: "[in_i'Hg]",
  mmHg: 'mm[Hg]',
  degC: 'Cel',
  '°C': 'Cel',
  degF: '[degF]',
  '°F': '[degF]',
  ppm: '[ppm]',
  cfm: '[cft_i]/min',
  scfm: '[cft_i]/min',
  'gal/h': '[gal_us]/h',
  'lb/h': '[lb_av]/h',
  'lb/min': '[lb_av]/min',
  in: '[in_i]',
  ft: '[ft_i]',
  'm²': 'm2',
  ft2: '[sft_i]',
  ft3: '[cft_i]',
  gal: '[gal_us]',
  lb: '[lb_av]',
  mph: '[mi_i]/h',
  kn: '[kn_i]',
  turns: '{turn}',
  turn: '{turn}',
  'lpm': 'L/min',
};

const ABSOLUTE: Readonly<Record<string, string>> = { psia: '[psi]', bara: 'bar', kPaa: 'kPa', mbara: 'mbar', Paa: 'Pa' };

/** What was written could not be read as a quantity; the message says what was found and what was expected. */
export class QuantityError extends Error {
  override readonly name = 'QuantityError';
}

export interface Quantity {
  /** In SI. For pressure: as written, gauge or absolute, see `absolute`. */
  readonly si: number;
  /** As written, in `unit`. */
  readonly value: number;
  readonly unit: Unit;
  /** True where the unit says absolute (`psia`). */
  readonly absolute: boolean;
}

const WRITTEN = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)(?:\s*\/\s*(\d+))?(?:\s*([^\s\d].*?))?\s*$/;

/** UCUM code of a written unit, or undefined. */
function codeOf(written: string, dimension: Dimension): string | undefined {
  const code = SHORTHAND[written] ?? ABSOLUTE[written] ?? written;
  return findUnit(code, dimension) ? code : undefined;
}

/**
 * Reads a quantity of one dimension.
 * @throws QuantityError when the text is not a finite number with a unit of that dimension.
 */
export function parseQuantity(text: string, dimension: Dimension): Quantity {
  const match = WRITTEN.exec(text);
  if (!match) throw new QuantityError(`${JSON.stringify(text)} is not a number with a unit`);
  const [, number = '', divisor, written = ''] = match;
  const value = Number(number) / (divisor === undefined ? 1 : Number(divisor));
  if (!Number.isFinite(value)) throw new QuantityError(`${JSON.stringify(text)} is not a finite number`);
  if (written === '') {
    if (dimension === 'count' || dimension === 'fraction') return plain(value, dimension);
    throw new QuantityError(`${JSON.stringify(text)} has no unit: expected a unit of ${dimension}`);
  }
  const code = codeOf(written, dimension);
  try {
    const unit = needUnit(code ?? SHORTHAND[written] ?? written, dimension);
    return { si: toSi(value, unit), value, unit, absolute: written in ABSOLUTE };
  } catch (error) {
    if (error instanceof UnitError) throw new QuantityError(`${JSON.stringify(text)}: ${error.message}`);
    throw error;
  }
}

function plain(value: number, dimension: 'count' | 'fraction'): Quantity {
  return { si: value, value, unit: needUnit(dimension === 'count' ? '{count}' : '1', dimension), absolute: false };
}

/** Reads `90psi..105psi`: low and high of one dimension, low below high. */
export function parseRange(text: string, dimension: Dimension): { low: Quantity; high: Quantity } {
  const parts = text.split('..');
  if (parts.length !== 2) throw new QuantityError(`${JSON.stringify(text)} is not a range: expected low..high, each with its unit`);
  const low = parseQuantity(parts[0] ?? '', dimension);
  const high = parseQuantity(parts[1] ?? '', dimension);
  if (low.si >= high.si) throw new QuantityError(`${JSON.stringify(text)}: the low end must be below the high end`);
  return { low, high };
}
