import type { QualityReason } from '../../points/reading.ts';
import { type Series, type Stretch, joined, lengthOf } from './series.ts';

/** Why nothing to rely on was recorded. */
export type GapCause = 'never heard' | 'nothing was heard from the site' | 'sensor silent' | `sensor: ${QualityReason}`;

export interface Gap extends Stretch {
  readonly cause: GapCause;
}

export interface Coverage {
  readonly owner: string;
  readonly point: string;
  /** Share of the shift with a value to rely on, 0 to 1. */
  readonly fraction: number;
  readonly gaps: readonly Gap[];
}

/**
 * How much of a shift a point covers, and each gap with its cause. Silence counts as a gap once it is longer than the point may be
 * silent, and then from the last reading on; readings without a usable value are gaps from the first to the next usable one.
 * `silent` are the stretches in which nothing at all came from the site.
 */
export function coverageOf(series: Series, shift: Stretch, silent: readonly Stretch[]): Coverage {
  const { owner, point } = series;
  const lengthMs = Math.max(1, shift.toMs - shift.fromMs);
  const gaps = gapsOf(series, shift, silent);
  return { owner, point, fraction: Math.max(0, 1 - lengthOf(gaps) / lengthMs), gaps };
}

function gapsOf({ atMs, value, reason, gapMs }: Series, shift: Stretch, silent: readonly Stretch[]): Gap[] {
  if (atMs.length === 0) return [{ ...shift, cause: 'never heard' }];
  const gaps: Gap[] = [];
  const add = (fromMs: number, toMs: number, cause: GapCause): void => {
    const gap = { fromMs: Math.max(shift.fromMs, fromMs), toMs: Math.min(shift.toMs, toMs), cause };
    const last = gaps.at(-1);
    if (gap.toMs <= gap.fromMs) return;
    if (last && last.cause === cause && last.toMs >= gap.fromMs) gaps[gaps.length - 1] = { ...last, toMs: gap.toMs };
    else gaps.push(gap);
  };
  const silence = (fromMs: number, toMs: number): void => {
    if (toMs - fromMs > gapMs) add(fromMs, toMs, silent.some((one) => one.fromMs <= fromMs + gapMs && one.toMs >= toMs - gapMs) ? 'nothing was heard from the site' : 'sensor silent');
  };
  silence(shift.fromMs, atMs[0] ?? shift.toMs);
  for (let index = 0; index < atMs.length; index += 1) {
    const at = atMs[index] ?? 0;
    const next = Math.min(shift.toMs, atMs[index + 1] ?? shift.toMs);
    const isGap = value[index] === null;
    if (isGap) add(at, Math.min(next, at + gapMs), `sensor: ${reason[index] ?? 'reported-bad'}`);
    if (isGap && next - at > gapMs) silence(at + gapMs, next);
    else if (!isGap) silence(at, next);
  }
  return gaps;
}

/** Stretches of more than `afterMs` in which no point of the site was heard at all, from the last one heard on. */
export function silences(all: readonly Series[], shift: Stretch, afterMs: number): Stretch[] {
  const heard = joined(all.flatMap(({ atMs }) => atMs.map((ms) => ({ fromMs: ms, toMs: ms + afterMs }))).sort((a, b) => a.fromMs - b.fromMs));
  const silent: Stretch[] = [];
  let sinceMs = shift.fromMs;
  for (const { fromMs, toMs } of heard) {
    silent.push({ fromMs: sinceMs, toMs: fromMs });
    sinceMs = toMs - afterMs;
  }
  silent.push({ fromMs: sinceMs, toMs: shift.toMs });
  return silent.filter(({ fromMs, toMs }) => toMs - fromMs > afterMs);
}
