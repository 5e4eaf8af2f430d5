import type { OwnStep } from '../site-config.ts';
import { BEFORE_STEPS } from './before-steps.ts';
import { CLOSING_STEPS } from './closing-steps.ts';
import { type ReadyStep, toStep } from './step.ts';

/** The shipped steps with the site's own among them, each behind the step it names, in the order of the file. */
export function stepsOf(own: readonly OwnStep[] = []): readonly ReadyStep[] {
  if (own.length === 0) return SHIPPED;
  const before = [...BEFORE_STEPS];
  for (const { id, title, todo, ifNot, again, expiresMs, behind, proof } of own) {
    const step = toStep('before', { id, title, todo, ifNot, again, expiresMs, seen: title, proofs: proof ? [{ kind: 'band', says: title, ...proof, stays: false }] : [] });
    // Behind the step and behind what already followed it by name.
    const at = before.findLastIndex((one) => one.id === behind || own.some((other) => other.id === one.id && other.behind === behind));
    before.splice(at + 1, 0, step);
  }
  return [...before, ...CLOSING_STEPS];
}

const SHIPPED: readonly ReadyStep[] = [...BEFORE_STEPS, ...CLOSING_STEPS];
/** Ids that a site's own step may not take, or may name as the one before it. */
export const SHIPPED_IDS: ReadonlySet<string> = new Set(SHIPPED.map(({ id }) => id));
export const BEFORE_IDS: readonly string[] = BEFORE_STEPS.map(({ id }) => id);
