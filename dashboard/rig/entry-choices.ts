import type { LiveRig } from '../../domain/wire/live.ts';
import { type UnitSystem, formatNumber } from '../format/units.ts';

/** What a key on the second tap sends. */
export interface EntryChoice {
  readonly label: string;
  readonly value: number | null;
  /** UCUM code; null without a value. */
  readonly unit: string | null;
  readonly text: string;
}

/** Kinds with a key of their own, in the order in which they are wanted on a shift. */
export const ENTRY_KEYS = ['needle', 'pot-filled', 'stopped', 'blotter', 'spot', 'area-done', 'plug-gauge', 'bump-done', 'filter-changed', 'abrasive-lot'] as const;
export type EntryKey = (typeof ENTRY_KEYS)[number];

interface NumberEntry {
  readonly us: { readonly unit: string; readonly symbol: string; readonly step: number; readonly middle: number };
  readonly si: { readonly unit: string; readonly symbol: string; readonly step: number; readonly middle: number };
}

/** In what a value is told in each system, how finely, and round what where nothing is known. Common practice, no source. */
const NUMBERS: Readonly<Partial<Record<EntryKey, NumberEntry>>> = {
  needle: { us: { unit: '[psi]', symbol: 'psi', step: 1, middle: 95 }, si: { unit: 'bar', symbol: 'bar', step: 0.1, middle: 6.5 } },
  spot: { us: { unit: '[degF]', symbol: '°F', step: 1, middle: 65 }, si: { unit: 'Cel', symbol: '°C', step: 0.5, middle: 18 } },
  'pot-filled': { us: { unit: '[lb_av]', symbol: 'lb', step: 100, middle: 600 }, si: { unit: 'kg', symbol: 'kg', step: 50, middle: 300 } },
  'area-done': { us: { unit: '[sft_i]', symbol: 'ft²', step: 50, middle: 300 }, si: { unit: 'm2', symbol: 'm²', step: 5, middle: 30 } },
  'plug-gauge': { us: { unit: '[in_i]', symbol: 'in', step: 1 / 32, middle: 3 / 8 }, si: { unit: 'mm', symbol: 'mm', step: 0.5, middle: 9.5 } },
};

/** As the server knows them; what they are called is in the words. */
export const STOP_REASONS = ['weather', 'client', 'compressor', 'breakdown', 'moving', 'break', 'other'] as const;
export const BLOTTER_RESULTS = ['dry', 'damp', 'wet', 'oil'] as const;
const KEYS = 12;

export function numberOf(kind: EntryKey, system: UnitSystem): { readonly unit: string; readonly symbol: string; readonly step: number; readonly middle: number } | null {
  return NUMBERS[kind]?.[system] ?? null;
}

/** Values round the likeliest, ascending, none below nothing; each is one tap. */
export function valueChoices(kind: EntryKey, system: UnitSystem, likely: number | null): readonly EntryChoice[] {
  const told = numberOf(kind, system);
  if (!told) return [];
  const { step, unit, symbol } = told;
  const middle = Math.round((likely ?? told.middle) / step) * step;
  const lowest = kind === 'spot' ? middle - Math.floor(KEYS / 2) * step : Math.max(step, middle - Math.floor(KEYS / 2) * step);
  return Array.from({ length: KEYS }, (_, index) => {
    const value = Number((lowest + index * step).toFixed(5));
    return { label: kind === 'plug-gauge' && unit === '[in_i]' ? `${fraction(value)} ${symbol}` : `${formatNumber(value, step >= 1 ? 0 : 1)} ${symbol}`, value, unit, text: '' };
  });
}

/** Thirty-seconds, as plug gauges are marked. */
function fraction(inches: number): string {
  let [over, under] = [Math.round(inches * 32), 32];
  while (over % 2 === 0 && under > 1) [over, under] = [over / 2, under / 2];
  const whole = Math.floor(over / under);
  const rest = over % under;
  return rest === 0 ? String(whole) : `${whole === 0 ? '' : `${whole} `}${rest}/${under}`;
}

/** Round what a needle reading will most likely lie: what the line says now, else the middle of what is wanted; psi. */
export function likelyNeedle(nozzlePsi: number | null, wanted: LiveRig['wanted']): number | null {
  if (nozzlePsi !== null && nozzlePsi > 20) return nozzlePsi;
  return wanted ? (wanted[0] + wanted[1]) / 2 : null;
}
