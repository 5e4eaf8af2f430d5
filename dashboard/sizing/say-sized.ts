import { STANDARD_AIR_DENSITY } from '../../domain/air/standard-air.ts';
import type { Sized } from '../../domain/air/sizing/size-line.ts';
import { type Dimension, fromSi, needUnit } from '../../domain/quantity/unit.ts';
import { formatNumber, type UnitSystem } from '../format/units.ts';

/** One figure of a result in the reader's units. */
export interface Figure {
  readonly text: string;
  readonly value: number;
  readonly unit: string;
  readonly decimals: number;
}

/** Water, kg in a litre. */
const WATER = 1000;

type Quantity = 'pressure' | 'flow' | 'volume' | 'mass' | 'water' | 'share';

const SHOWN: Readonly<Record<UnitSystem, Readonly<Record<Quantity, readonly [dimension: Dimension, code: string, decimals: number, factor: number, symbol: string]>>>> = {
  us: {
    pressure: ['pressure', '[psi]', 0, 1, 'psi'],
    flow: ['volume-flow', '[cft_i]/min', 0, 1 / STANDARD_AIR_DENSITY, 'cfm'],
    volume: ['volume', '[cft_i]', 0, 3600 / STANDARD_AIR_DENSITY, 'ft³'],
    mass: ['mass-flow', '[lb_av]/h', 0, 1, 'lb'],
    water: ['volume-flow', '[gal_us]/h', 1, 1 / WATER, 'gal'],
    share: ['fraction', '%', 0, 1, '%'],
  },
  si: {
    pressure: ['pressure', 'bar', 1, 1, 'bar'],
    flow: ['volume-flow', 'm3/min', 1, 1 / STANDARD_AIR_DENSITY, 'm³/min'],
    volume: ['volume', 'm3', 0, 3600 / STANDARD_AIR_DENSITY, 'm³'],
    mass: ['mass-flow', 'kg/h', 0, 1, 'kg'],
    water: ['volume-flow', 'L/h', 1, 1 / WATER, 'L'],
    share: ['fraction', '%', 0, 1, '%'],
  },
};

/** A result of the sizing, SI, as a figure. Air in kg/s is told by volume of standard air. */
export function figure(quantity: Quantity, si: number, system: UnitSystem): Figure {
  const [dimension, code, decimals, factor, symbol] = SHOWN[system][quantity];
  const value = fromSi(si * factor, needUnit(code, dimension));
  return { text: `${formatNumber(value, decimals)} ${symbol}`, value, unit: symbol, decimals };
}

/** The same without its unit, for the low end of a range. */
export function bare(quantity: Quantity, si: number, system: UnitSystem): string {
  const { value, decimals } = figure(quantity, si, system);
  return formatNumber(value, decimals);
}

/** Rows of the result: what a difference is taken of, and what stands beside it. */
export const RESULT_ROWS = ['nozzle', 'machine', 'air', 'airHour', 'abrasive', 'load', 'water', 'work'] as const;
export type ResultRow = (typeof RESULT_ROWS)[number];

export function valueOf(row: ResultRow, sized: Sized): { readonly quantity: Quantity; readonly si: number; readonly low?: number; readonly high?: number } {
  switch (row) {
    case 'nozzle':
      return { quantity: 'pressure', si: sized.nozzle.value, low: sized.nozzle.low, high: sized.nozzle.high };
    case 'machine':
      return { quantity: 'pressure', si: sized.places.find(({ id }) => id === 'machine')?.pressure ?? 0 };
    case 'air':
      return { quantity: 'flow', si: sized.air };
    case 'airHour':
      return { quantity: 'volume', si: sized.air };
    case 'abrasive':
      return { quantity: 'mass', si: (sized.abrasive.low + sized.abrasive.high) / 2, low: sized.abrasive.low, high: sized.abrasive.high };
    case 'load':
      return { quantity: 'share', si: sized.load };
    case 'water':
      return { quantity: 'water', si: sized.water };
    case 'work':
      return { quantity: 'share', si: sized.work };
  }
}
