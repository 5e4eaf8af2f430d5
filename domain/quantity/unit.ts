/**
 * The units Potside accepts, as a closed table. A unit outside it is refused: a guessed unit is worse than none.
 * Codes are UCUM, case sensitive (ucum.org); the factors are checked in the tests against a UCUM library.
 * UCUM does not tell gauge from absolute pressure, nor a temperature from a difference: the quantity does.
 */

/** What a unit measures; units convert only within one dimension. */
export type Dimension =
  | 'pressure'
  | 'temperature'
  | 'temperature-difference'
  | 'fraction'
  | 'volume-flow'
  | 'mass-flow'
  | 'length'
  | 'area'
  | 'volume'
  | 'mass'
  | 'time'
  | 'speed'
  | 'angle'
  | 'current'
  | 'count'
  | 'density';

export interface Unit {
  /** UCUM code, e.g. `[psi]`. */
  readonly code: string;
  readonly dimension: Dimension;
  /** SI value = value × factor + offset. SI: Pa, K, m³/s, kg/s, m, m², m³, kg, s, m/s, rad, A, fraction. */
  readonly factor: number;
  readonly offset: number;
  /** As people read it on a screen, e.g. `psi`. */
  readonly symbol: string;
}

const INCH = 0.0254;
const FOOT = 0.3048;
const CUBIC_FOOT = FOOT ** 3;
const POUND = 0.45359237;
const PSI = (POUND * 9.80665) / INCH ** 2;
const GALLON = 231 * INCH ** 3;

function unit(code: string, dimension: Dimension, factor: number, symbol: string, offset = 0): Unit {
  return { code, dimension, factor, offset, symbol };
}

export const UNITS: readonly Unit[] = [
  unit('Pa', 'pressure', 1, 'Pa'),
  unit('hPa', 'pressure', 100, 'hPa'),
  unit('kPa', 'pressure', 1e3, 'kPa'),
  unit('MPa', 'pressure', 1e6, 'MPa'),
  unit('mbar', 'pressure', 100, 'mbar'),
  unit('bar', 'pressure', 1e5, 'bar'),
  unit('[psi]', 'pressure', PSI, 'psi'),
  unit("[in_i'H2O]", 'pressure', 249.08891, 'inH₂O'),
  unit("[in_i'Hg]", 'pressure', 3386.3788, 'inHg'),
  unit('mm[Hg]', 'pressure', 133.322, 'mmHg'),
  unit('atm', 'pressure', 101325, 'atm'),
  unit('K', 'temperature', 1, 'K'),
  unit('Cel', 'temperature', 1, '°C', 273.15),
  unit('[degF]', 'temperature', 5 / 9, '°F', 273.15 - (32 * 5) / 9),
  unit('1', 'fraction', 1, ''),
  unit('%', 'fraction', 1e-2, '%'),
  unit('[ppm]', 'fraction', 1e-6, 'ppm'),
  unit('m3/s', 'volume-flow', 1, 'm³/s'),
  unit('m3/min', 'volume-flow', 1 / 60, 'm³/min'),
  unit('m3/h', 'volume-flow', 1 / 3600, 'm³/h'),
  unit('L/s', 'volume-flow', 1e-3, 'L/s'),
  unit('L/min', 'volume-flow', 1e-3 / 60, 'L/min'),
  unit('L/h', 'volume-flow', 1e-3 / 3600, 'L/h'),
  unit('[cft_i]/min', 'volume-flow', CUBIC_FOOT / 60, 'cfm'),
  unit('[gal_us]/h', 'volume-flow', GALLON / 3600, 'gal/h'),
  unit('kg/s', 'mass-flow', 1, 'kg/s'),
  unit('kg/h', 'mass-flow', 1 / 3600, 'kg/h'),
  unit('g/s', 'mass-flow', 1e-3, 'g/s'),
  unit('[lb_av]/h', 'mass-flow', POUND / 3600, 'lb/h'),
  unit('[lb_av]/min', 'mass-flow', POUND / 60, 'lb/min'),
  unit('m', 'length', 1, 'm'),
  unit('cm', 'length', 1e-2, 'cm'),
  unit('mm', 'length', 1e-3, 'mm'),
  unit('um', 'length', 1e-6, 'µm'),
  unit('[in_i]', 'length', INCH, 'in'),
  unit('[ft_i]', 'length', FOOT, 'ft'),
  unit('m2', 'area', 1, 'm²'),
  unit('[sft_i]', 'area', FOOT ** 2, 'ft²'),
  unit('m3', 'volume', 1, 'm³'),
  unit('L', 'volume', 1e-3, 'L'),
  unit('[cft_i]', 'volume', CUBIC_FOOT, 'ft³'),
  unit('[gal_us]', 'volume', GALLON, 'gal'),
  unit('kg', 'mass', 1, 'kg'),
  unit('g', 'mass', 1e-3, 'g'),
  unit('[lb_av]', 'mass', POUND, 'lb'),
  unit('s', 'time', 1, 's'),
  unit('ms', 'time', 1e-3, 'ms'),
  unit('min', 'time', 60, 'min'),
  unit('h', 'time', 3600, 'h'),
  unit('d', 'time', 86400, 'd'),
  unit('m/s', 'speed', 1, 'm/s'),
  unit('km/h', 'speed', 1 / 3.6, 'km/h'),
  unit('[mi_i]/h', 'speed', 0.44704, 'mph'),
  unit('[kn_i]', 'speed', 1852 / 3600, 'kn'),
  unit('rad', 'angle', 1, 'rad'),
  unit('deg', 'angle', Math.PI / 180, '°'),
  unit('A', 'current', 1, 'A'),
  unit('mA', 'current', 1e-3, 'mA'),
  unit('{count}', 'count', 1, ''),
  unit('{turn}', 'count', 1, 'turns'),
  unit('kg/m3', 'density', 1, 'kg/m³'),
  unit('g/m3', 'density', 1e-3, 'g/m³'),
];

const BY_CODE: ReadonlyMap<string, Unit> = new Map(UNITS.map((entry) => [entry.code, entry]));

/** Differences of temperature use the codes of temperatures, without the offset. */
const DIFFERENCE_BY_CODE: ReadonlyMap<string, Unit> = new Map(
  UNITS.filter((entry) => entry.dimension === 'temperature').map((entry) => [
    entry.code,
    { ...entry, dimension: 'temperature-difference' as const, offset: 0 },
  ]),
);

/** The unit of a UCUM code in a dimension, or undefined where there is none. */
export function findUnit(code: string, dimension?: Dimension): Unit | undefined {
  if (dimension === 'temperature-difference') return DIFFERENCE_BY_CODE.get(code);
  const found = BY_CODE.get(code);
  return found && (dimension === undefined || found.dimension === dimension) ? found : undefined;
}

/** A unit that Potside does not know, or one of another kind than asked for. */
export class UnitError extends Error {
  override readonly name = 'UnitError';
}

/** As `findUnit`, but throws a `UnitError` that names what was found and what was expected. */
export function needUnit(code: string, dimension: Dimension): Unit {
  const found = findUnit(code, dimension);
  if (found) return found;
  const known = findUnit(code);
  const choices = UNITS.filter((u) => u.dimension === (dimension === 'temperature-difference' ? 'temperature' : dimension));
  const expected = `expected a unit of ${dimension}: ${choices.map((u) => u.code).join(', ')}`;
  throw new UnitError(known ? `unit ${code} is a ${known.dimension}, ${expected}` : `unit ${JSON.stringify(code)} is not known, ${expected}`);
}

/** Value in `from` → SI. */
export function toSi(value: number, from: Unit): number {
  return value * from.factor + from.offset;
}

/** SI → value in `to`. */
export function fromSi(si: number, to: Unit): number {
  return (si - to.offset) / to.factor;
}

/** Value in `from` → value in `to`; both must be of one dimension. The same unit returns the value untouched. */
export function convert(value: number, from: Unit, to: Unit): number {
  if (from.dimension !== to.dimension) throw new UnitError(`cannot convert ${from.dimension} (${from.code}) to ${to.dimension} (${to.code})`);
  return from.code === to.code ? value : fromSi(toSi(value, from), to);
}
