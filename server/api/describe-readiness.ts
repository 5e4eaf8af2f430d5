import type { WireHold, WireReadiness, WireStep } from '../../domain/wire/readiness.ts';
import { HOLD_MS, type HoldRun, judgeHold } from '../../domain/shift/readiness/hold-test.ts';
import type { JudgedStep } from '../../domain/shift/readiness/judge-readiness.ts';
import { EVENT_WORDS, READY_EVENTS } from '../../domain/shift/readiness/step.ts';
import { onGrid } from '../../domain/points/reading.ts';
import type { RigCheck } from '../../domain/site/site-readiness.ts';

const iso = (ms: number): string => new Date(ms).toISOString();

/** A rig's check in the words of the wire. */
export function describeReadiness(rig: string, shift: string | null, { held, judged }: RigCheck, history: WireReadiness['history']): WireReadiness {
  return {
    rig,
    shift,
    result: { state: judged.result, text: judged.text, because: judged.because },
    released: held.released && judged.result === 'released' ? { at: iso(held.released.atMs), by: held.released.by } : null,
    steps: judged.steps.map(describeStep),
    hold: held.hold && describeHold(held.hold),
    events: READY_EVENTS.map((id) => ({ id, words: EVENT_WORDS[id] })),
    history,
  };
}

function describeStep({ step, state, why, waitsFor, findings, signature, expiresAtMs }: JudgedStep): WireStep {
  const { id, sequence, title, todo, seen, ifNot } = step;
  return {
    id,
    sequence,
    title,
    todo,
    seen,
    ifNot,
    again: step.again.map((event) => EVENT_WORDS[event]),
    state,
    why,
    waitsFor,
    proofs: findings.map(({ stays: _stays, ...finding }, at) => ({ kind: step.proofs[at]?.kind ?? 'band', ...finding })),
    signed: signature && { at: iso(signature.atMs), by: signature.by, role: signature.role, note: signature.note, evidence: signature.evidence },
    expiresAt: expiresAtMs === null ? null : iso(expiresAtMs),
  };
}

function describeHold(run: HoldRun): WireHold {
  const judged = judgeHold(run);
  const grid = (cfm: number): number => onGrid(cfm, 0.01);
  return {
    since: iso(run.sinceMs),
    by: run.by,
    seconds: Math.round((run.toMs - run.sinceMs) / 1000),
    of: HOLD_MS / 1000,
    from: run.from,
    to: run.to,
    ended: run.ended,
    verdict: judged?.verdict ?? null,
    leak: judged && { value: grid(judged.leak.value), low: grid(judged.leak.low), high: grid(judged.leak.high) },
  };
}
