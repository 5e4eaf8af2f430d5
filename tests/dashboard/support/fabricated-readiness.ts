import { BEFORE_STEPS } from '../../../domain/shift/readiness/before-steps.ts';
import { CLOSING_STEPS } from '../../../domain/shift/readiness/closing-steps.ts';
import type { Proof } from '../../../domain/shift/readiness/step.ts';
import { EVENT_WORDS, READY_EVENTS } from '../../../domain/shift/readiness/step.ts';
import type { WireProof, WireReadiness, WireStep } from '../../../domain/wire/readiness.ts';

/** A check in the middle: some steps signed, one due again, one contradicted by a sensor, the rest open. */
export function fabricatedReadiness(rig: string, nowMs: number): WireReadiness {
  const at = new Date(nowMs - 3_600_000).toISOString();
  const steps = [...BEFORE_STEPS, ...CLOSING_STEPS].map((step, index): WireStep => {
    const state = index < 4 ? 'done' : index === 4 ? 'again' : index === 5 ? 'not-so' : 'open';
    return {
      id: step.id, sequence: step.sequence, title: step.title, todo: step.todo, seen: step.seen, ifNot: step.ifNot,
      again: step.again.map((event) => EVENT_WORDS[event]), state, waitsFor: state === 'open' ? step.after : [],
      why: { done: '', again: `due again, ${EVENT_WORDS['compressor-restart']}`, 'not-so': 'the supply side holds: not so', open: 'not signed yet' }[state],
      proofs: step.proofs.map(fabricatedProof), expiresAt: null,
      signed: state === 'open' ? null : { at, by: 'J. Ortega', role: 'tender', note: '', evidence: [] },
    };
  });
  return {
    rig, shift: `shift-${rig}`, released: null, steps, hold: null,
    result: { state: 'not-ready', text: `not ready, because Compressor: due again, ${EVENT_WORDS['compressor-restart']}; and 8 more`, because: [] },
    events: READY_EVENTS.map((id) => ({ id, words: EVENT_WORDS[id] })),
    history: [{ at, text: 'Compressor: signed (chocked; intake not downwind of the work: read by hand) by J. Ortega' }],
  };
}

function fabricatedProof({ kind, says }: Proof, index: number): WireProof {
  const states = ['holds', 'waits', 'fails', 'by-hand'] as const;
  return { kind, says, state: states[index % states.length] ?? 'holds', advisory: false, point: null, value: null, low: null, high: null, unit: null, note: '' };
}
