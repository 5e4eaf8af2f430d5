import { STANDARD_AIR_DENSITY } from '../../domain/air/standard-air.ts';
import { QuantityError, type Quantity, parseQuantity } from '../../domain/quantity/parse-quantity.ts';
import { type AbsolutePressure, STANDARD_ATMOSPHERE, absolute, atmosphereAt } from '../../domain/quantity/pressure.ts';
import type { Dimension } from '../../domain/quantity/unit.ts';
import type { Given, Input } from './calculation.ts';

/** An input that is missing or impossible; the message names it. */
export class InputError extends Error {
  override readonly name = 'InputError';
}

/** An input as it is told back in the answer. */
export interface ToldInput {
  readonly value: number | string;
  readonly unit?: string;
  readonly reference?: 'gauge' | 'absolute';
  readonly assumed?: true;
}

export interface ReadInputs {
  readonly given: Given;
  readonly told: Readonly<Record<string, ToldInput>>;
}

type Written = Readonly<Record<string, string | undefined>>;

const PLAUSIBLE_ATMOSPHERE = { low: 20_000, high: 150_000 };

/** The local atmosphere from `--atmosphere` or `--elevation`; sea level where neither is given. */
function readAtmosphere(written: Written, told: Record<string, ToldInput>): AbsolutePressure {
  const { atmosphere, elevation } = written;
  if (atmosphere !== undefined && elevation !== undefined) throw new InputError('--atmosphere and --elevation: give one of them');
  if (elevation !== undefined) {
    const height = named('elevation', () => parseQuantity(elevation, 'length'));
    told['elevation'] = { value: height.value, unit: height.unit.code };
    const found = named('elevation', () => atmosphereAt(height.si));
    told['atmosphere'] = { value: found, unit: 'Pa', reference: 'absolute' };
    return found;
  }
  if (atmosphere === undefined) {
    told['atmosphere'] = { value: STANDARD_ATMOSPHERE, unit: 'Pa', reference: 'absolute', assumed: true };
    return STANDARD_ATMOSPHERE;
  }
  const read = named('atmosphere', () => parseQuantity(atmosphere, 'pressure'));
  if (!(read.si >= PLAUSIBLE_ATMOSPHERE.low && read.si <= PLAUSIBLE_ATMOSPHERE.high)) {
    throw new InputError(`--atmosphere must lie between 200 hPa and 1500 hPa (absolute), found ${JSON.stringify(atmosphere)}`);
  }
  told['atmosphere'] = { value: read.value, unit: read.unit.code, reference: 'absolute' };
  return absolute(read.si);
}

/** Runs `read` and puts the flag's name before what it objects to. */
function named<T>(flag: string, read: () => T): T {
  try {
    return read();
  } catch (error) {
    if (error instanceof QuantityError || error instanceof RangeError) throw new InputError(`--${flag}: ${error.message}`);
    throw error;
  }
}

function parseOneOf(text: string, dimensions: readonly Dimension[]): Quantity {
  const errors: unknown[] = [];
  for (const dimension of dimensions) {
    try {
      return parseQuantity(text, dimension);
    } catch (error) {
      errors.push(error);
    }
  }
  throw errors[0];
}

function dimensionsOf(kind: Input['kind']): readonly Dimension[] {
  if (kind === 'gauge') return ['pressure'];
  if (kind === 'flow') return ['volume-flow', 'mass-flow'];
  return kind === 'text' ? [] : [kind];
}

/** A bearing may be a bare number of degrees. */
function withUnit(input: Input, text: string): string {
  return input.kind === 'angle' && /^\s*[+-]?[\d.]+\s*$/.test(text) ? `${text.trim()}deg` : text;
}

function readOne(input: Input, text: string, atmosphere: AbsolutePressure): { si: number; told: ToldInput } {
  const read = parseOneOf(withUnit(input, text), dimensionsOf(input.kind));
  const told: ToldInput = { value: read.value, unit: read.unit.code };
  if (read.absolute && input.kind !== 'gauge') throw new RangeError(`${JSON.stringify(text)} must not be absolute`);
  if (input.kind === 'gauge') {
    const pressure = read.absolute ? read.si - atmosphere : read.si;
    if (!(pressure + atmosphere > 0)) throw new RangeError(`${JSON.stringify(text)} is below vacuum`);
    return { si: pressure, told: { ...told, reference: read.absolute ? 'absolute' : 'gauge' } };
  }
  if (input.sign === 'positive' && !(read.si > 0)) throw new RangeError(`${JSON.stringify(text)} must be above 0`);
  if (input.sign === 'not-negative' && !(read.si >= 0)) throw new RangeError(`${JSON.stringify(text)} must not be below 0`);
  const isVolume = input.kind === 'flow' && read.unit.dimension === 'volume-flow';
  return { si: isVolume ? read.si * (input.standardDensity ?? STANDARD_AIR_DENSITY) : read.si, told };
}

/**
 * Reads what was written on the command line, each input by its own kind.
 * @throws InputError that names the first one that is missing or impossible.
 */
export function readInputs(inputs: readonly Input[], written: Written, withAtmosphere: boolean): ReadInputs {
  const told: Record<string, ToldInput> = {};
  const missing = inputs.filter((input) => written[input.flag] === undefined && input.assumed === undefined && !input.optional);
  if (missing.length > 0) throw new InputError(`missing ${missing.map((input) => `--${input.flag} ${input.value}`).join(', ')}`);
  const atmosphere = withAtmosphere ? readAtmosphere(written, told) : STANDARD_ATMOSPHERE;
  const numbers = new Map<string, number>();
  const texts = new Map<string, string>();
  for (const input of inputs) {
    const text = written[input.flag] ?? input.assumed;
    if (text === undefined) continue;
    const assumed = written[input.flag] === undefined ? { assumed: true as const } : {};
    if (input.kind === 'text') {
      texts.set(input.flag, text);
      told[input.flag] = { value: text, ...assumed };
      continue;
    }
    const read = named(input.flag, () => readOne(input, text, atmosphere));
    numbers.set(input.flag, read.si);
    told[input.flag] = { ...read.told, ...assumed };
  }
  const maybe = (flag: string): number | undefined => numbers.get(flag);
  const need = <T>(found: T | undefined, flag: string): T => {
    if (found === undefined) throw new InputError(`missing --${flag}`);
    return found;
  };
  return { told, given: { atmosphere, maybe, number: (flag) => need(maybe(flag), flag), text: (flag) => need(texts.get(flag), flag) } };
}
