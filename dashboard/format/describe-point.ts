import { findPointKind } from '../../domain/points/catalogue.ts';
import type { LivePoint } from '../../domain/wire/live.ts';
import type { Words } from '../words/en.ts';
import { formatAge } from './age.ts';
import { describeMargin } from './describe-margin.ts';
import { expectedPeriodMs } from './expected-period.ts';
import { type UnitSystem, formatNumber, inSystem } from './units.ts';

/** A point ready for the screen: everything in words, nothing left to decide but where it stands. */
export interface PointView {
  /** The number as text, or null where none was ever read. */
  readonly number: string | null;
  readonly symbol: string;
  /** False: must not look like a live value. */
  readonly isGood: boolean;
  /** Why it is not good, or that there is no sensor. */
  readonly reason: string | null;
  readonly margin: string | null;
  readonly isPast: boolean;
  /** Set when older than one expected period. */
  readonly age: string | null;
}

export interface Reader {
  readonly system: UnitSystem;
  readonly words: Words;
  /** The server's present time; null before the first frame. */
  readonly nowMs: number | null;
}

export function describePoint(point: LivePoint | undefined, reader: Reader): PointView {
  const { words } = reader;
  const kind = point && findPointKind(point.id);
  if (!point || !kind) return { number: null, symbol: '', isGood: false, reason: words.noSensor, margin: null, isPast: false, age: null };
  const isGood = point.quality === 'good' && point.value !== null;
  const shown = inSystem(point.value ?? 0, point.unit, kind.dimension, reader.system);
  const limit = point.margin && inSystem(point.margin.limit, point.unit, kind.dimension, reader.system).value;
  const ageMs = point.atMs === null || reader.nowMs === null ? null : reader.nowMs - point.atMs;
  const needsAge = ageMs !== null && (!isGood || ageMs > expectedPeriodMs(point.id));
  return {
    number: point.value === null ? null : formatAgainstLimit(shown.value, shown.decimals, limit),
    symbol: shown.symbol,
    isGood,
    reason: isGood ? null : describeReason(point, words),
    margin: isGood && point.margin ? describeMargin(point.margin, point.unit, kind.dimension, reader.system, words) : null,
    isPast: isGood && point.margin !== null && point.margin.distance < 0,
    age: needsAge ? words.age(formatAge(ageMs, words)) : null,
  };
}

/** Rounds for reading, but never across the limit: 9.6 ppm must not stand there as 10 while no alarm does. */
export function formatAgainstLimit(value: number, decimals: number, limit: number | null): string {
  if (limit === null) return formatNumber(value, decimals);
  const rounded = Number(value.toFixed(decimals));
  const isMisleading = value !== limit && Math.sign(rounded - limit) !== Math.sign(value - limit);
  return formatNumber(value, isMisleading ? decimals + 1 : decimals);
}

function describeReason(point: LivePoint, words: Words): string {
  if (point.reason !== null) return words.reasons[point.reason];
  return point.value === null ? words.reasons['never-seen'] : words.uncertain;
}
