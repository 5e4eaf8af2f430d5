import { findPointKind } from '../../domain/points/catalogue.ts';
import type { Dimension } from '../../domain/quantity/unit.ts';
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
  const limit = point.margin && limitShown(point.margin.limit, point.unit, kind.dimension, reader.system);
  const decimals = limit === null ? shown.decimals : decimalsAgainstLimit(shown.value, shown.decimals, limit);
  const ageMs = point.atMs === null || reader.nowMs === null ? null : reader.nowMs - point.atMs;
  const needsAge = ageMs !== null && (!isGood || ageMs > expectedPeriodMs(point.id));
  return {
    number: point.value === null ? null : formatNumber(shown.value, decimals),
    symbol: shown.symbol,
    isGood,
    reason: isGood ? null : describeReason(point, words),
    margin: isGood && point.margin && limit !== null ? describeMargin(point.margin, Number(shown.value.toFixed(decimals)), decimals, limit, words) : null,
    isPast: isGood && point.margin !== null && point.margin.distance < 0,
    age: needsAge ? words.age(formatAge(ageMs, words)) : null,
  };
}

/** Rounds for reading, but never across the limit: 9.6 ppm must not stand there as 10 while no alarm does. */
export function decimalsAgainstLimit(value: number, decimals: number, limit: number): number {
  const rounded = Number(value.toFixed(decimals));
  const isMisleading = Math.sign(rounded - limit) !== Math.sign(value - limit);
  return isMisleading ? decimals + 1 : decimals;
}

/** A limit in the reader's unit, without the noise of conversion; a limit of 125 psi is 8.62 bar. */
function limitShown(limit: number, unit: string, dimension: Dimension, system: UnitSystem): number {
  return Number(inSystem(limit, unit, dimension, system).value.toFixed(LIMIT_DECIMALS));
}

const LIMIT_DECIMALS = 2;

function describeReason(point: LivePoint, words: Words): string {
  if (point.reason !== null) return words.reasons[point.reason];
  return point.value === null ? words.reasons['never-seen'] : words.uncertain;
}
