import type { Margin } from '../../domain/wire/live.ts';
import type { Words } from '../words/en.ts';
import { formatNumber } from './units.ts';

/**
 * Distance to the nearest limit in words: a colour or a bar alone would not say which way. Reckoned from the number as it is
 * shown, since a person adds up what stands there; `value` is in the reader's unit, rounded.
 */
export function describeMargin(margin: Margin, value: number, decimals: number, limit: number, words: Words): string {
  const limitText = trimmed(limit, decimals);
  const gapText = formatNumber(Math.abs(limit - value), decimals);
  if (Number(gapText) === 0) return words.margin.at(limitText);
  const isPast = margin.distance < 0;
  if (margin.side === 'high') return isPast ? words.margin.over(gapText, limitText) : words.margin.below(gapText, limitText);
  return isPast ? words.margin.under(gapText, limitText) : words.margin.above(gapText, limitText);
}

/** The same where only a few letters have room: a row of many rigs. */
export function describeMarginShort(margin: Margin, value: number, decimals: number, limit: number, words: Words): string {
  const gapText = formatNumber(Math.abs(limit - value), decimals);
  if (Number(gapText) === 0) return words.margin.at(trimmed(limit, decimals));
  return words.margin.short(gapText, trimmed(limit, decimals), (margin.side === 'high') === (margin.distance < 0));
}

/** A limit is a chosen number, mostly round: 10, not 10.0. */
function trimmed(limit: number, decimals: number): string {
  return formatNumber(limit, Number.isInteger(Number(limit.toFixed(decimals))) ? 0 : decimals);
}
