import { findUnit } from '../../../domain/quantity/unit.ts';
import { localTime } from '../../../domain/shift/local-time.ts';
import type { Figure } from '../../../domain/shift/headline.ts';

/** A figure as people read it; a dash where there is none. */
export function say(figure: Figure | null, digits = 1): string {
  if (figure === null) return '–';
  const symbol = findUnit(figure.unit)?.symbol ?? figure.unit;
  return `${number(figure.value, digits)}${symbol === '' ? '' : symbol === '%' ? ' %' : ` ${symbol}`}`;
}

export function number(value: number, digits = 1): string {
  return String(Math.round(value * 10 ** digits) / 10 ** digits + 0);
}

export function percent(share: number | null, digits = 1): string {
  return share === null ? '–' : `${number(share * 100, digits)} %`;
}

/** `14:05:09` of the site's clock; with the date and offset where `full`. */
export function clock(ms: number | null, zone: string, full = false): string {
  if (ms === null) return '–';
  const local = localTime(ms, zone);
  return full ? `${local.slice(0, 10)} ${local.slice(11, 19)} (UTC${local.slice(23)})` : local.slice(11, 19);
}

/** `1 h 12 min`, `3 min 20 s`, `40 s`. */
export function duration(ms: number): string {
  const seconds = Math.round(ms / 1000);
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor((seconds % 3600) / 60)];
  if (hours > 0) return `${hours} h ${minutes} min`;
  return minutes > 0 ? `${minutes} min${seconds % 60 === 0 ? '' : ` ${seconds % 60} s`}` : `${seconds} s`;
}
