import { type Dimension, convert, needUnit } from '../../domain/quantity/unit.ts';

/** A person's choice; one system a screen. */
export type UnitSystem = 'us' | 'si';

interface Shown {
  readonly code: string;
  readonly decimals: number;
}

/** What each dimension is read in. Decimals as sensible for a sensor on site: psi whole, bar to 0.1, CO whole. */
const SHOWN: Readonly<Record<UnitSystem, Partial<Record<Dimension, Shown>>>> = {
  us: {
    pressure: { code: '[psi]', decimals: 0 },
    temperature: { code: '[degF]', decimals: 0 },
    'temperature-difference': { code: '[degF]', decimals: 1 },
    speed: { code: '[mi_i]/h', decimals: 0 },
    'volume-flow': { code: '[cft_i]/min', decimals: 0 },
    mass: { code: '[lb_av]', decimals: 0 },
    area: { code: '[sft_i]', decimals: 0 },
    volume: { code: '[cft_i]', decimals: 0 },
  },
  si: {
    pressure: { code: 'bar', decimals: 1 },
    temperature: { code: 'Cel', decimals: 1 },
    'temperature-difference': { code: 'Cel', decimals: 1 },
    speed: { code: 'm/s', decimals: 1 },
    'volume-flow': { code: 'm3/min', decimals: 1 },
    mass: { code: 'kg', decimals: 0 },
    area: { code: 'm2', decimals: 1 },
    volume: { code: 'm3', decimals: 0 },
  },
};

export interface Measure {
  readonly value: number;
  readonly symbol: string;
  readonly decimals: number;
}

/** A value as this person reads it; fractions, angles and counts are the same everywhere. */
export function inSystem(value: number, unit: string, dimension: Dimension, system: UnitSystem): Measure {
  const from = needUnit(unit, dimension);
  const shown = SHOWN[system][dimension];
  if (!shown) return { value, symbol: from.symbol, decimals: 0 };
  const to = needUnit(shown.code, dimension);
  return { value: convert(value, from, to), symbol: to.symbol, decimals: shown.decimals };
}

const MINUS = '−';

/** Digits with a real minus sign; a value that rounds to zero has no sign. */
export function formatNumber(value: number, decimals: number): string {
  const digits = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(digits) !== 0 ? MINUS + digits : digits;
}
