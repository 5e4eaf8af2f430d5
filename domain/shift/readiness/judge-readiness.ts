import { type Finding, judgeProof, sayFinding } from './judge-proof.ts';
import type { Readiness, ReadySight, Signature } from './readiness.ts';
import { EVENT_WORDS, type ReadyEvent, type ReadyStep } from './step.ts';

/** All that is said when nothing is open any more. The word of the supervisor is another thing. */
export const CHECKS_DONE = "checks done; starting is the supervisor's decision";

/**
 * `open`: not signed yet. `done`. `again`: was done, and something happened since. `expired`. `failed`: somebody said so.
 * `not-so`: signed, but a sensor says otherwise now.
 */
export type StepState = 'open' | 'done' | 'again' | 'expired' | 'failed' | 'not-so';

export interface JudgedStep {
  readonly step: ReadyStep;
  readonly state: StepState;
  /** Why it is not done, as a clause; empty where it is. */
  readonly why: string;
  readonly signature: Signature | null;
  readonly expiresAtMs: number | null;
  readonly findings: readonly Finding[];
  /** Steps that have to be done before it can be signed. */
  readonly waitsFor: readonly string[];
}

export interface JudgedReadiness {
  readonly steps: readonly JudgedStep[];
  /** Of the list before blasting: what is still in the way. */
  readonly because: readonly { readonly step: string; readonly title: string; readonly why: string }[];
  readonly result: 'no-shift' | 'not-ready' | 'checks-done' | 'released';
  /** The result in words, as it is to be shown. */
  readonly text: string;
}

/** What the check of a rig comes to, now. Pure. */
export function judgeReadiness(state: Readiness, sight: ReadySight, atMs: number): JudgedReadiness {
  const judged = sight.steps.map((step) => judgeStep(step, state, sight, atMs));
  const isDone = new Set(judged.filter((one) => one.state === 'done').map(({ step }) => step.id));
  const steps = judged.map((one) => ({ ...one, waitsFor: one.step.after.filter((id) => !isDone.has(id)) }));
  const because = steps.filter(({ step, state: is }) => step.sequence === 'before' && is !== 'done').map(({ step, why }) => ({ step: step.id, title: step.title, why }));
  if (sight.situation.shiftSinceMs === null) return { steps, because, result: 'no-shift', text: 'not ready, because no shift is open on this rig' };
  if (because.length > 0) return { steps, because, result: 'not-ready', text: `not ready, because ${sayBecause(because)}` };
  return { steps, because, result: state.released === null ? 'checks-done' : 'released', text: CHECKS_DONE };
}

function sayBecause(because: JudgedReadiness['because']): string {
  const [first, ...others] = because;
  return first === undefined ? '' : `${first.title}: ${first.why}${others.length === 0 ? '' : `; and ${others.length} more`}`;
}

function judgeStep(step: ReadyStep, state: Readiness, sight: ReadySight, atMs: number): Omit<JudgedStep, 'waitsFor'> {
  const signature = state.signed[step.id] ?? null;
  const findings = step.proofs.map((proof) => judgeProof(proof, step, state, sight, atMs));
  const expiresAtMs = signature === null || step.expiresMs === null ? null : signature.atMs + step.expiresMs;
  const as = (is: StepState, why: string) => ({ step, state: is, why, signature, expiresAtMs, findings });
  const failure = state.failed[step.id];
  if (failure) return as('failed', failure.text === '' ? `${failure.by} says that it is not so` : `${failure.by}: ${failure.text}`);
  const again = state.dueAgain[step.id];
  if (again?.event === 'expired' && signature === null) return as('expired', tooLongAgo(step));
  if (signature === null) return again ? as('again', `due again, ${EVENT_WORDS[again.event as ReadyEvent]}`) : as('open', 'not signed yet');
  if (expiresAtMs !== null && atMs >= expiresAtMs) return as('expired', tooLongAgo(step));
  const contradiction = findings.find((finding) => finding.stays && !finding.advisory && (finding.state === 'fails' || finding.state === 'waits'));
  return contradiction ? as('not-so', sayFinding(contradiction)) : as('done', '');
}

function tooLongAgo({ expiresMs }: ReadyStep): string {
  return `due again, signed more than ${Math.round(((expiresMs ?? 0) / 3_600_000) * 10) / 10} h ago`;
}
