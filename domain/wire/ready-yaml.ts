import { z } from 'zod';
import { findPointKind } from '../points/catalogue.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { convert, needUnit } from '../quantity/unit.ts';
import { READY_EVENTS } from '../shift/readiness/step.ts';
import { BEFORE_IDS, SHIPPED_IDS } from '../shift/readiness/steps-of.ts';
import type { OwnStep } from '../shift/site-config.ts';

/** A site's own steps of the check before blasting, as people write them under `ready:`. */

const text = z.string().trim().min(1).max(300);
const bound = z.union([z.string(), z.number()]).optional();

const proof = z.strictObject({ point: z.string(), low: bound, high: bound }).transform(({ point, low, high }, context) => {
  const kind = findPointKind(point);
  const refuse = (message: string): never => {
    context.addIssue({ code: 'custom', message });
    return z.NEVER;
  };
  if (!kind) return refuse(`${JSON.stringify(point)} is not a point`);
  if (low === undefined && high === undefined) return refuse('expected low, high or both');
  const read = (written: string | number | undefined): number | null => {
    if (written === undefined) return null;
    const { value, unit } = parseQuantity(String(written), kind.dimension);
    return convert(value, unit, needUnit(kind.unit, kind.dimension));
  };
  try {
    return { point, low: read(low), high: read(high) };
  } catch (error) {
    return refuse((error as Error).message);
  }
});

const ownStep = z.strictObject({
  id: z
    .string()
    .regex(/^[a-z0-9][a-z0-9-]{0,31}$/, 'expected 1 to 32 of a-z, 0-9 and -')
    .refine((id) => !SHIPPED_IDS.has(id), 'this id is a shipped step’s'),
  title: z.string().trim().min(1).max(60),
  do: z.union([text.transform((one) => [one]), z.array(text).min(1).max(6)]),
  'if-not': text,
  after: z.enum(BEFORE_IDS as [string, ...string[]]).default('abrasive'),
  again: z.array(z.enum(READY_EVENTS)).default([]),
  shows: proof.optional(),
});

/** `expires` is read by the caller's own schema of durations. */
export function ownSteps(duration: z.ZodType<number>) {
  const steps = z.array(ownStep.extend({ expires: duration.optional() })).max(20);
  return steps.superRefine((all, context) => {
    all.forEach(({ id }, index) => {
      if (all.findIndex((one) => one.id === id) !== index) context.addIssue({ code: 'custom', path: [index, 'id'], message: `${JSON.stringify(id)} is already a step` });
    });
  });
}

export function toOwnSteps(written: z.output<ReturnType<typeof ownSteps>>): OwnStep[] {
  return written.map((step) => ({ id: step.id, title: step.title, todo: step.do, ifNot: step['if-not'], behind: step.after, again: step.again, expiresMs: step.expires ?? null, proof: step.shows ?? null }));
}
