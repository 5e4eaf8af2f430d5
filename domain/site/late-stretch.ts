import type { BatchEntry } from './log.ts';

/** The time that late readings not looked at yet are from, by their own clocks, and the entry and the log time of the last of them. */
export interface LateStretch {
  readonly fromMs: number;
  readonly toMs: number;
  readonly seq: number;
  readonly atMs: number;
}

/** The stretch with a batch's late readings in it. */
export function withLate(stretch: LateStretch | null, { readings, seq, atMs }: BatchEntry): LateStretch | null {
  let fromMs = stretch?.fromMs ?? Number.POSITIVE_INFINITY;
  let toMs = stretch?.toMs ?? Number.NEGATIVE_INFINITY;
  let hasLate = false;
  for (const { late, observedAtMs } of readings) {
    if (!late) continue;
    hasLate = true;
    fromMs = Math.min(fromMs, observedAtMs);
    toMs = Math.max(toMs, observedAtMs);
  }
  return hasLate ? { fromMs, toMs, seq, atMs } : stretch;
}
