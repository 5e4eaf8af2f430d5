import type { WireReadiness, WireStep } from '../../domain/wire/readiness.ts';
import type { Words } from '../words/en.ts';

/** The check with the server's sentences in the reader's language. What people wrote stands as it was written. */
export function tellCheck(check: WireReadiness, words: Pick<Words, 'told' | 'journalLine'>): WireReadiness {
  const { told } = words;
  const { result } = check;
  return {
    ...check,
    result: { ...result, text: told(result.text), because: result.because.map((one) => ({ ...one, title: told(one.title), why: told(one.why) })) },
    steps: check.steps.map((step) => tellStep(step, told)),
    events: check.events.map((event) => ({ ...event, words: told(event.words) })),
    history: check.history.map((line) => ({ ...line, text: words.journalLine(line.text) })),
  };
}

function tellStep(step: WireStep, told: Words['told']): WireStep {
  return {
    ...step,
    title: told(step.title),
    todo: step.todo.map(told),
    seen: told(step.seen),
    ifNot: told(step.ifNot),
    again: step.again.map(told),
    why: told(step.why),
    proofs: step.proofs.map((proof) => ({ ...proof, says: told(proof.says), note: told(proof.note) })),
  };
}
