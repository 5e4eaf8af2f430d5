import type { JudgedValue, Verdict } from './judge.ts';
import type { Situation, SiteSituation } from './situation.ts';

/**
 * What a state test sees of an owner. One is kept for each owner and used again for each test, so that a reading costs no objects:
 * a test reads from it, writes `value`, `memory` and `againAtMs`, and keeps nothing of it.
 */
export interface View {
  readonly atMs: number;
  readonly limit: number | null;
  /** The point that the alarm is of; empty where it is of none. */
  readonly point: string;
  readonly situation: Situation;
  readonly site: SiteSituation;
  readonly isBlasting: boolean;
  /** When the last of the rigs on the same compressor that blast now was started; null while none does. */
  readonly lastStartMs: number | null;
  /** psi gauge, below which the respirator is not what its table says; null where not given. */
  readonly respiratorLow: number | null;
  /** True where this other alarm of the owner stands. */
  stands(rule: string, point: string): boolean;
  /** A point as the owner sees it: its own, its compressor's or its site's. */
  see(id: string): JudgedValue | undefined;
  /** For a compressor: what its rigs see. */
  readonly rigs: readonly Pick<View, 'see' | 'situation' | 'isBlasting'>[];
  /** What the alarm shows as its value. */
  value: number | null;
  /** What this test remembered last time; plain data, replaced and never changed in place. */
  memory: unknown;
  /** When to test again though nothing comes in; null for no such time. */
  againAtMs: number | null;
}

export type StateTest = (view: View) => Verdict;

/** A value to rely on; null where there is none. */
export function usable(seen: JudgedValue | undefined): number | null {
  return seen === undefined || seen.quality === 'bad' || seen.value === null || Number.isNaN(seen.value) ? null : seen.value;
}

/** To one decimal; never −0, which a snapshot does not keep. */
export function tenth(value: number): number {
  return Math.round(value * 10) / 10 + 0;
}

/** A value that may also clear an alarm: an uncertain one may only raise. */
export function isCertain(seen: JudgedValue | undefined): boolean {
  return seen !== undefined && (seen.quality === 'good' || seen.reason === 'clock-suspect');
}
