import type { Margin } from '../../domain/wire/live.ts';

/** A limit as it stands on screen, in the reader's unit. */
export type ShownLimit = Pick<Margin, 'limit' | 'side'>;

/** A value and what it is judged by, both in the reader's unit and unrounded. */
export interface Judged {
  readonly value: number;
  readonly limits: readonly ShownLimit[];
}

export interface Rounded {
  readonly value: number;
  readonly decimals: number;
}

/** Two limits may lie closer together than a step; further than this no sensor tells. */
const MOST_DECIMALS = 4;

/**
 * Rounds for reading, but never to the other side of a limit: 9.6 ppm stands there as 9 while the limit of 10 has not been
 * reached, and 10.4 as 10, which has. Compared is what the eye compares, the rounded value with the rounded limit. A limit counts
 * as reached when equalled, as the alarms count it.
 */
export function roundHonestly({ value, limits }: Judged, decimals: number): Rounded {
  for (let d = decimals; d <= MOST_DECIMALS; d++) {
    const step = 10 ** d;
    const candidates = [toDecimals(value, d), toDecimals(Math.floor(value * step) / step, d), toDecimals(Math.ceil(value * step) / step, d)];
    const found = candidates.find((shown) => limits.every((l) => isReached(shown, { ...l, limit: toDecimals(l.limit, d) }) === isReached(value, l)));
    if (found !== undefined) return { value: found, decimals: d };
  }
  return { value, decimals: MOST_DECIMALS };
}

export function isReached(value: number, { limit, side }: ShownLimit): boolean {
  return side === 'high' ? value >= limit : value <= limit;
}

/** Decimals that a limit needs to be shown as it was chosen, e.g. 1 for 19.5 %. */
export function decimalsOfLimit(limit: number): number {
  return [0, 1, 2].find((d) => toDecimals(limit, d) === limit) ?? 2;
}

function toDecimals(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}
