import type { PointKind } from '../points/catalogue.ts';
import type { Quality, QualityReason } from '../points/reading.ts';
import type { Condition } from './rule.ts';

/** What a value says about a condition. `hold`: neither, so the alarm stays as it is. */
export type Verdict = 'alarm' | 'clear' | 'hold';

export interface JudgedValue {
  readonly value: number | null;
  readonly quality: Quality;
  readonly reason: QualityReason | null;
  /** When it was last heard, ms; null or absent where it never was or that does not matter. */
  readonly receivedAtMs?: number | null;
}

/**
 * Judges one value against a condition whose limit is `limit`, in the point's default unit.
 * Quality comes before value: a bad value is not compared, an uncertain one may raise but never clears.
 * Out of range on the side where the danger lies still counts as that danger: a CO cell driven off its scale is not silence.
 */
export function judge(condition: Condition, limit: number | null, kind: PointKind, seen: JudgedValue): Verdict {
  // A point not heard yet is given its time to speak: it turns stale like any other.
  if (condition.kind === 'unknown') return seen.reason === 'never-seen' ? 'hold' : seen.quality === 'bad' ? 'alarm' : 'clear';
  // A state is judged by its own test.
  if (condition.kind === 'state' || limit === null || seen.value === null || Number.isNaN(seen.value)) return 'hold';
  const isHigh = condition.kind === 'outside' ? seen.value > condition.high : condition.kind !== 'below';
  const verdict = compare(condition, limit, seen.value);
  // A wrong clock says nothing against the value, which is judged at the time of receipt.
  if (seen.quality === 'good' || seen.reason === 'clock-suspect') return verdict;
  if (verdict !== 'alarm') return 'hold';
  if (seen.quality === 'uncertain') return 'alarm';
  const beyond = seen.reason === 'out-of-range' || seen.reason === 'loop-saturated';
  const isDangerous = kind.dangerous === 'both' || kind.dangerous === (isHigh ? 'high' : 'low');
  return beyond && isDangerous ? 'alarm' : 'hold';
}

function compare(condition: Exclude<Condition, { kind: 'unknown' | 'state' }>, limit: number, value: number): Verdict {
  const { deadband } = condition;
  switch (condition.kind) {
    case 'at-or-above':
      return value >= limit ? 'alarm' : value < limit - deadband ? 'clear' : 'hold';
    case 'above':
      return value > limit ? 'alarm' : value <= limit - deadband ? 'clear' : 'hold';
    case 'below':
      return value < limit ? 'alarm' : value >= limit + deadband ? 'clear' : 'hold';
    case 'outside':
      return value < limit || value > condition.high ? 'alarm' : value >= limit + deadband && value <= condition.high - deadband ? 'clear' : 'hold';
  }
}
