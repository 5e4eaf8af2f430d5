import type { Margin } from '../../domain/wire/live.ts';
import type { Dimension } from '../../domain/quantity/unit.ts';
import type { Words } from '../words/en.ts';
import { type UnitSystem, formatNumber, inSystem } from './units.ts';

/** Distance to the nearest limit in words: a colour or a bar alone would not say which way. */
export function describeMargin(margin: Margin, unit: string, dimension: Dimension, system: UnitSystem, words: Words): string {
  const limit = inSystem(margin.limit, unit, dimension, system);
  const limitText = formatNumber(limit.value, Number.isInteger(round(limit.value, limit.decimals)) ? 0 : limit.decimals);
  const gap = inSystem(Math.abs(margin.distance), unit, differenceOf(dimension), system);
  const gapText = formatNumber(gap.value, gap.decimals);
  if (Number(gapText) === 0) return words.margin.at(limitText);
  const isPast = margin.distance < 0;
  if (margin.side === 'high') return isPast ? words.margin.over(gapText, limitText) : words.margin.below(gapText, limitText);
  return isPast ? words.margin.under(gapText, limitText) : words.margin.above(gapText, limitText);
}

/** A distance between temperatures has no zero point of its own. */
export function differenceOf(dimension: Dimension): Dimension {
  return dimension === 'temperature' ? 'temperature-difference' : dimension;
}

function round(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}
