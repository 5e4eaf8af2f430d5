/** Turns from closed to start at, and the most to change at once (common practice, no source; they depend on the valve). */
export const START_TURNS = 1.5;
export const MOST_CHANGE = 0.25;
/** How long the flow takes to settle after a change: 10 to 15 s, the longer is waited (common practice, no source). */
export const SETTLE_MS = 15_000;
/** How long before the change and after settling is averaged, ms. */
const JUDGED_MS = 10_000;

interface Mean {
  readonly sum: number;
  readonly count: number;
}

/** What a change of the metering valve did, in the units of the readings; null where there were none. */
export interface TrimEffect {
  readonly from: number;
  readonly to: number;
  readonly pressure: number | null;
  readonly flow: number | null;
}

/** The metering valve as last set by hand, and the change that is being judged. */
export interface Trim {
  readonly turns: number;
  readonly last: { readonly pressure: number; readonly flow: number | null } | null;
  readonly pending: { readonly from: number; readonly atMs: number; readonly before: { readonly pressure: number; readonly flow: number | null } | null; readonly pressure: Mean; readonly flow: Mean } | null;
}

export const UNTRIMMED: Trim = { turns: START_TURNS, last: null, pending: null };

/** Says what is wrong with a step before it is taken; undefined where nothing is. */
export function objectToTrim(trim: Trim, turns: number, atMs: number): 'step-too-large' | 'still-settling' | 'not-on-the-valve' | undefined {
  if (!(turns >= 0 && Number.isFinite(turns))) return 'not-on-the-valve';
  if (trim.pending && atMs - trim.pending.atMs < SETTLE_MS) return 'still-settling';
  return Math.abs(turns - trim.turns) > MOST_CHANGE + 1e-9 ? 'step-too-large' : undefined;
}

/** Notes a change entered by hand. It is recorded even where `objectToTrim` objects: it has happened. */
export function enterTrim(trim: Trim, turns: number, atMs: number): Trim {
  const none: Mean = { sum: 0, count: 0 };
  return { turns, last: trim.last, pending: { from: trim.turns, atMs, before: trim.last, pressure: none, flow: none } };
}

function add(mean: Mean, value: number | null): Mean {
  return value === null ? mean : { sum: mean.sum + value, count: mean.count + 1 };
}

/** How fast the remembered state before a change follows the readings. */
const FOLLOW = 0.2;

/** Takes a reading while blasting; answers the effect once the change has settled and been averaged. */
export function nextTrim(trim: Trim, seen: { readonly atMs: number; readonly pressure: number; readonly flow: number | null }): { trim: Trim; effect?: TrimEffect } {
  const { pending } = trim;
  if (!pending) {
    const follow = (old: number, now: number): number => old + FOLLOW * (now - old);
    const { last } = trim;
    const flow = seen.flow === null ? null : last?.flow == null ? seen.flow : follow(last.flow, seen.flow);
    return { trim: { ...trim, last: { pressure: last ? follow(last.pressure, seen.pressure) : seen.pressure, flow } } };
  }
  const since = seen.atMs - pending.atMs;
  if (since < SETTLE_MS) return { trim };
  const judged = { ...pending, pressure: add(pending.pressure, seen.pressure), flow: add(pending.flow, seen.flow) };
  if (since < SETTLE_MS + JUDGED_MS) return { trim: { ...trim, pending: judged } };
  const after = { pressure: judged.pressure.sum / judged.pressure.count, flow: judged.flow.count > 0 ? judged.flow.sum / judged.flow.count : null };
  const { before } = pending;
  const effect: TrimEffect = {
    from: pending.from,
    to: trim.turns,
    pressure: before ? after.pressure - before.pressure : null,
    flow: before?.flow == null || after.flow === null ? null : after.flow - before.flow,
  };
  return { trim: { turns: trim.turns, last: after, pending: null }, effect };
}
