import { findPointKind } from '../../domain/points/catalogue.ts';
import type { LivePoint } from '../../domain/wire/live.ts';
import type { Words } from '../words/en.ts';
import { formatAge } from './age.ts';
import { describeMargin, describeMarginShort } from './describe-margin.ts';
import { expectedPeriodMs } from './expected-period.ts';
import { judgeInSystem } from './judge-in-system.ts';
import type { ShownLimit } from './round-honestly.ts';
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
  /** As `margin`, in as few letters as it takes. */
  readonly shortMargin: string | null;
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
  if (!point || !kind) return { number: null, symbol: '', isGood: false, reason: words.noSensor, margin: null, shortMargin: null, isPast: false, age: null };
  const isGood = point.quality === 'good' && point.value !== null;
  const shown = judgeInSystem(point.value ?? 0, point.unit, kind.dimension, reader.system, limitsOf(point));
  const { decimals } = shown;
  // As it is shown, since a person adds up what stands there.
  const limit = point.margin && Number(inSystem(point.margin.limit, point.unit, kind.dimension, reader.system).value.toFixed(decimals));
  const ageMs = point.atMs === null || reader.nowMs === null ? null : reader.nowMs - point.atMs;
  const needsAge = ageMs !== null && (!isGood || ageMs > expectedPeriodMs(point.id));
  return {
    number: point.value === null ? null : formatNumber(shown.value, decimals),
    symbol: shown.symbol,
    isGood,
    reason: isGood ? null : describeReason(point, words),
    margin: isGood && point.margin && limit !== null ? describeMargin(point.margin, shown.value, decimals, limit, words) : null,
    shortMargin: isGood && point.margin && limit !== null ? describeMarginShort(point.margin, shown.value, decimals, limit, words) : null,
    isPast: isGood && point.margin !== null && point.margin.distance < 0,
    age: needsAge ? words.age(formatAge(ageMs, words)) : null,
  };
}

/** All that a point is judged by; the nearest limit stands for them where only it is known. */
export function limitsOf(point: LivePoint): readonly ShownLimit[] {
  return point.limits.length > 0 || !point.margin ? point.limits : [point.margin];
}

function describeReason(point: LivePoint, words: Words): string {
  if (point.reason !== null) return words.reasons[point.reason];
  return point.value === null ? words.reasons['never-seen'] : words.uncertain;
}
