import { QuantityError, parseQuantity } from '../../domain/quantity/parse-quantity.ts';
import { convert, fromSi, needUnit, toSi, type Unit } from '../../domain/quantity/unit.ts';
import { SIZING_BOUNDS, SIZING_FIELDS, type SizingField, isWithin } from '../../domain/air/sizing/set-up.ts';
import type { UnitSystem } from '../format/units.ts';

interface Written {
  readonly code: string;
  readonly step: number;
  readonly decimals: number;
}

type Kind = 'flow' | 'breathing' | 'pressure' | 'loss' | 'height' | 'temperature' | 'share' | 'bore' | 'nozzle' | 'length' | 'count';

const KIND: Readonly<Record<SizingField, Kind>> = {
  ratedFlow: 'flow', pressure: 'pressure', elevation: 'height', temperature: 'temperature', humidity: 'share', cooledTo: 'temperature', supplyBore: 'bore', supplyLength: 'length',
  separatorLoss: 'loss', breathingAir: 'breathing', rigs: 'count', blastBore: 'bore', blastLength: 'length', nozzleBore: 'nozzle', otherBore: 'nozzle',
};

/** Unit, step of the slider and decimals, as each is said on site. */
const WRITTEN: Readonly<Record<UnitSystem, Readonly<Record<Kind, Written>>>> = {
  us: {
    flow: { code: '[cft_i]/min', step: 5, decimals: 0 }, breathing: { code: '[cft_i]/min', step: 1, decimals: 0 }, pressure: { code: '[psi]', step: 1, decimals: 0 }, loss: { code: '[psi]', step: 0.5, decimals: 1 },
    height: { code: '[ft_i]', step: 100, decimals: 0 }, temperature: { code: '[degF]', step: 1, decimals: 0 }, share: { code: '%', step: 1, decimals: 0 }, bore: { code: '[in_i]', step: 1 / 8, decimals: 3 },
    nozzle: { code: '[in_i]', step: 1 / 32, decimals: 3 }, length: { code: '[ft_i]', step: 5, decimals: 0 }, count: { code: '{count}', step: 1, decimals: 0 },
  },
  si: {
    flow: { code: 'm3/min', step: 0.1, decimals: 1 }, breathing: { code: 'L/min', step: 10, decimals: 0 }, pressure: { code: 'bar', step: 0.1, decimals: 1 }, loss: { code: 'bar', step: 0.02, decimals: 2 },
    height: { code: 'm', step: 50, decimals: 0 }, temperature: { code: 'Cel', step: 1, decimals: 0 }, share: { code: '%', step: 1, decimals: 0 }, bore: { code: 'mm', step: 1, decimals: 0 },
    nozzle: { code: 'mm', step: 0.5, decimals: 1 }, length: { code: 'm', step: 1, decimals: 0 }, count: { code: '{count}', step: 1, decimals: 0 },
  },
};

const DIMENSION = Object.fromEntries(SIZING_FIELDS.map(({ id, dimension }) => [id, dimension])) as Readonly<Record<SizingField, (typeof SIZING_FIELDS)[number]['dimension']>>;

function unitOf(id: SizingField, system: UnitSystem): Unit {
  return needUnit(WRITTEN[system][KIND[id]].code, DIMENSION[id]);
}

/** Where the slider stands, in the reader's unit. */
export function slideOf(id: SizingField, si: number, system: UnitSystem): number {
  return fromSi(si, unitOf(id, system));
}

/** The slider's ends, on its own steps, and its step. */
export function slideRange(id: SizingField, system: UnitSystem): { readonly min: number; readonly max: number; readonly step: number } {
  const step = stepOf(id, system);
  const { low, high } = SIZING_BOUNDS[id];
  const slack = 1e-6;
  return { min: Math.ceil(slideOf(id, low, system) / step - slack) * step, max: Math.floor(slideOf(id, high, system) / step + slack) * step, step };
}

function stepOf(id: SizingField, system: UnitSystem): number {
  return WRITTEN[system][KIND[id]].step;
}

/** SI from where the slider stands; on the slider's own steps, so that a bore is a sixteenth and not its neighbour. */
export function fromSlide(id: SizingField, slide: number, system: UnitSystem): number {
  const step = stepOf(id, system);
  return toSi(Math.round(slide / step) * step, unitOf(id, system));
}

/** A value with its unit as it stands in the field. */
export function writeField(id: SizingField, si: number, system: UnitSystem): string {
  const unit = unitOf(id, system);
  const value = fromSi(si, unit);
  const { decimals } = WRITTEN[system][KIND[id]];
  const text = unit.code === '[in_i]' ? inches(value) : trim(value.toFixed(decimals));
  return unit.symbol === '' ? text : `${text} ${unit.symbol}`;
}

/** What a person typed, in SI; without a unit it is the reader's own. Why not, where it can't be read or can't be. */
export function readField(id: SizingField, text: string, system: UnitSystem): { readonly si: number } | { readonly wrong: string | readonly [low: string, high: string] } {
  const unit = unitOf(id, system);
  const bare = /[a-z%°]/i.test(text) ? text : `${text} ${unit.symbol}`;
  try {
    const read = parseQuantity(DIMENSION[id] === 'count' ? text : bare, DIMENSION[id]);
    if (!read.absolute && isWithin(id, read.si)) return { si: read.si };
  } catch (error) {
    if (!(error instanceof QuantityError)) throw error;
  }
  const spec = SIZING_FIELDS.find((one) => one.id === id);
  const bound = (written: string): string => {
    const quantity = parseQuantity(written, DIMENSION[id]);
    return writeField(id, toSi(convert(quantity.value, quantity.unit, unit), unit), system);
  };
  return { wrong: spec ? [bound(spec.low), bound(spec.high)] : unit.symbol };
}

function trim(digits: string): string {
  return digits.includes('.') ? digits.replace(/\.?0+$/, '') : digits;
}

/** `7/16`, `1-1/4`: in 32nds where it is one, else with three decimals. */
function inches(value: number): string {
  const parts = Math.round(value * 32);
  if (Math.abs(value * 32 - parts) > 0.02) return trim(value.toFixed(3));
  let [part, of] = [parts % 32, 32];
  while (part > 0 && part % 2 === 0) [part, of] = [part / 2, of / 2];
  const whole = Math.floor(parts / 32);
  if (part === 0) return String(whole);
  return whole === 0 ? `${part}/${of}` : `${whole}-${part}/${of}`;
}
