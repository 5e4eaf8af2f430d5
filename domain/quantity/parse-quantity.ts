import { type Dimension, type Unit, UnitError, needUnit, toSi } from './unit.ts';

/**
 * Quantities as people write them: a number and a unit without a space or with one, `100psi`, `7/16in`, `-5 degC`.
 * UCUM codes are accepted as they are; the shorthand below is what is said on site.
 */
const SHORTHAND: Readonly<Record<string, string>> = {
  psi: '[psi]',
  psig: '[psi]',
  psia: '[psi]',
  barg: 'bar',
  kPag: 'kPa',
  bara: 'bar',
  kPaa: 'kPa',
  mbara: 'mbar',
  Paa: 'Pa',
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
  lpm: 'L/min',
  'l/min': 'L/min',
  'l/s': 'L/s',
  l: 'L',
  '°': 'deg',
  'm³': 'm3',
  'm³/min': 'm3/min',
  'm³/h': 'm3/h',
  'ft³': '[cft_i]',
};

/** Shorthand that says absolute. */
const ABSOLUTE: ReadonlySet<string> = new Set(['psia', 'bara', 'kPaa', 'mbara', 'Paa']);

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
/** `1-1/4in`, `1 1/4in`: a whole number and a fraction, as bores are said. */
const MIXED = /^\s*(\d+)(?:\s+|-)(\d+\s*\/\s*\d+.*)$/;

/**
 * The unit that is written, by UCUM code or in shorthand, and whether it says absolute.
 * @throws UnitError for a unit that isn't known or is of another kind.
 */
export function parseUnit(written: string, dimension: Dimension): { readonly unit: Unit; readonly absolute: boolean } {
  return { unit: needUnit(SHORTHAND[written] ?? written, dimension), absolute: ABSOLUTE.has(written) };
}

/**
 * Reads a quantity of one dimension.
 * @throws QuantityError when the text is not a finite number with a unit of that dimension.
 */
export function parseQuantity(text: string, dimension: Dimension): Quantity {
  const mixed = MIXED.exec(text);
  if (mixed) return addWhole(Number(mixed[1]), parseQuantity(mixed[2] ?? '', dimension));
  const match = WRITTEN.exec(text);
  if (!match) throw new QuantityError(`${JSON.stringify(text)} is not a number with a unit`);
  const [, number = '', divisor, written = ''] = match;
  const value = Number(number) / (divisor === undefined ? 1 : Number(divisor));
  if (!Number.isFinite(value)) throw new QuantityError(`${JSON.stringify(text)} is not a finite number`);
  if (written === '') {
    if (dimension === 'count' || dimension === 'fraction') return plain(value, dimension);
    throw new QuantityError(`${JSON.stringify(text)} has no unit: expected a unit of ${dimension}`);
  }
  try {
    const { unit, absolute } = parseUnit(written, dimension);
    return { si: toSi(value, unit), value, unit, absolute };
  } catch (error) {
    if (error instanceof UnitError) throw new QuantityError(`${JSON.stringify(text)}: ${error.message}`);
    throw error;
  }
}

function addWhole(whole: number, { value, unit, absolute }: Quantity): Quantity {
  return { si: toSi(whole + value, unit), value: whole + value, unit, absolute };
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
