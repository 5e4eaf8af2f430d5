import { usable } from '../../alarms/view.ts';
import { sayFinding } from './judge-proof.ts';
import { CHECKS_DONE, type JudgedStep, judgeReadiness } from './judge-readiness.ts';
import { begin, happened, type Readiness, type ReadyAction, type ReadySight } from './readiness.ts';

export interface ReadyStepResult {
  readonly readiness: Readiness;
  readonly refusal: string | null;
  /** What the sensors showed when it was signed: a part of the record. */
  readonly evidence: readonly string[];
}

/** psi gauge of the supply below which a hold test says little. */
const HOLD_FROM = 50;

export interface Actor {
  readonly by: string;
  readonly role: string;
}

/** The check after something somebody did, or why it is refused. Pure. */
export function nextReadiness(state: Readiness, action: ReadyAction, { by, role }: Actor, sight: ReadySight, atMs: number): ReadyStepResult {
  const refuse = (refusal: string): ReadyStepResult => ({ readiness: state, refusal, evidence: [] });
  const to = (readiness: Readiness, evidence: readonly string[] = []): ReadyStepResult => ({ readiness, refusal: null, evidence });
  if (sight.situation.shiftSinceMs === null) return refuse('no shift is open on this rig, and the check belongs to one: start it first');
  switch (action.kind) {
    case 'ready-sign': {
      const judged = judgeReadiness(state, sight, atMs).steps;
      const held = judged.find(({ step }) => step.id === action.step);
      if (!held) return refuse(`there is no step ${JSON.stringify(action.step)}`);
      const refusal = whyNotSigned(held, judged);
      if (refusal !== null) return refuse(refusal);
      const evidence = held.findings.map(sayFinding);
      const signature = { atMs, by, role, note: action.note, evidence, people: sight.situation.underHood.map(({ name }) => name), built: sight.built };
      const { [action.step]: _failed, ...failed } = state.failed;
      const { [action.step]: _again, ...dueAgain } = state.dueAgain;
      const signed: Readiness = { ...state, signed: { ...state.signed, [action.step]: signature }, failed, dueAgain, released: held.step.sequence === 'before' ? null : state.released };
      return to(held.step.causes === null ? signed : happened(signed, held.step.causes, sight.steps, atMs), evidence);
    }
    case 'ready-fail': {
      const step = sight.steps.find(({ id }) => id === action.step);
      if (!step) return refuse(`there is no step ${JSON.stringify(action.step)}`);
      const { [step.id]: _gone, ...signed } = state.signed;
      return to({ ...state, signed, failed: { ...state.failed, [step.id]: { atMs, by, text: action.text } }, released: null });
    }
    case 'ready-again':
      return to(happened(state, action.event, sight.steps, atMs));
    case 'ready-begin':
      return to(begin(state, action.sequence, sight.steps, atMs));
    case 'ready-hold': {
      if (!action.start) return state.hold?.ended === null ? to({ ...state, hold: { ...state.hold, ended: 'stopped' } }) : refuse('no hold test is running');
      if (state.hold?.ended === null) return refuse(`a hold test is running, started by ${state.hold.by}`);
      const supply = usable(sight.see('supply-pressure'));
      if (supply === null) return refuse('the supply pressure is not known: hold by the gauge and sign');
      if (sight.isBlasting) return refuse('the nozzle is under flow: let go of the handle first');
      if (supply < HOLD_FROM) return refuse(`the supply is at ${supply} psi: bring it to ${HOLD_FROM} psi or more first`);
      return to({ ...state, hold: { sinceMs: atMs, by, volume: action.volume, from: supply, to: supply, toMs: atMs, ended: null } });
    }
    case 'ready-release': {
      const { result, text } = judgeReadiness(state, sight, atMs);
      if (role !== 'supervisor') return refuse('starting is the supervisor’s decision');
      if (result === 'released') return refuse(`already released by ${state.released?.by ?? 'somebody'}`);
      if (result !== 'checks-done') return refuse(text);
      return to({ ...state, released: { atMs, by } }, [CHECKS_DONE]);
    }
  }
}

function whyNotSigned({ step, state, signature, findings, waitsFor }: JudgedStep, all: readonly JudgedStep[]): string | null {
  if (state === 'done') return `already signed by ${signature?.by ?? 'somebody'}`;
  const [first] = waitsFor;
  if (first !== undefined) return `first: ${all.find((one) => one.step.id === first)?.step.title ?? first}`;
  const open = findings.find((finding) => !finding.advisory && (finding.state === 'waits' || finding.state === 'fails'));
  return open ? `${step.title}: ${sayFinding(open)}` : null;
}
