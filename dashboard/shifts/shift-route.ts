import { routeHref } from '../page/route.ts';

export const SHIFT_TABS = ['log', 'trace', 'summary', 'rejudge'] as const;
export type ShiftTab = (typeof SHIFT_TABS)[number];

/** Where within the Shifts screen. */
export type ShiftPlace =
  | { readonly at: 'list' | 'overview' | 'start' | 'proposals' }
  | { readonly at: 'one'; readonly id: string; readonly tab: ShiftTab }
  | { readonly at: 'compare'; readonly ids: readonly [string, string] };

/** Ids are the server's and never one of these words: they hold the site and two numbers. */
export function parseShiftPlace(rest: readonly string[]): ShiftPlace {
  const [first, second, third] = rest;
  if (first === undefined) return { at: 'list' };
  if (first === 'overview' || first === 'start' || first === 'proposals') return { at: first };
  if (first === 'compare') return second !== undefined && third !== undefined ? { at: 'compare', ids: [second, third] } : { at: 'list' };
  return { at: 'one', id: first, tab: SHIFT_TABS.find((tab) => tab === second) ?? 'log' };
}

export function shiftHref(id: string, tab: ShiftTab = 'log', query: Readonly<Record<string, string>> = {}): string {
  return routeHref('shifts', query, tab === 'log' ? [id] : [id, tab]);
}
