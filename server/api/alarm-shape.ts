import { z } from 'zod';
import type { LiveAlarm, LiveSetAside } from '../../domain/wire/live.ts';
import { rfc3339 } from './shapes.ts';

const aside = z.object({ until: rfc3339, by: z.string(), reason: z.string(), text: z.string(), approvedBy: z.string().nullable() });

/** An alarm as the API answers with it. */
export const alarmShape = z.object({
  id: z.string(),
  name: z.string(),
  title: z.string(),
  site: z.string(),
  rig: z.string().nullable(),
  owner: z.string(),
  point: z.string(),
  priority: z.enum(['critical', 'high', 'medium', 'low']),
  state: z.string().describe('state by its name in ISA-18.2 / IEC 62682'),
  sound: z.enum(['air', 'other', 'none']),
  raisedAt: rfc3339,
  clearedAt: rfc3339.nullable(),
  acknowledgedAt: rfc3339.nullable(),
  acknowledgedBy: z.string().nullable(),
  silencedAtRig: z.boolean(),
  silencedAtRigBy: z.string().nullable(),
  out: z.enum(['not-needed', 'awaited', 'confirmed']).describe('the second confirmation of CO and loss of air: blaster out and accounted for'),
  outConfirmedAt: rfc3339.nullable(),
  outConfirmedBy: z.string().nullable(),
  latched: z.boolean(),
  shelved: aside.nullable(),
  outOfService: aside.nullable(),
  suppressedBecause: z.string().nullable(),
  shelvableBy: z.enum(['supervisor', 'safety-officer']).nullable(),
  group: z.string().nullable().describe('id of the alarm that leads its group'),
  firstOut: z.boolean(),
  order: z.number().nullable(),
  offsetMs: z.number().nullable(),
  alwaysShown: z.boolean(),
  chattering: z.boolean(),
  drill: z.boolean().describe('raised on a training site: practised, not happening'),
  value: z.number().nullable(),
  limit: z.number().nullable(),
  unit: z.string(),
  cause: z.string(),
  consequence: z.string(),
  response: z.string(),
  respondWithin: z.string(),
  limitSource: z.string(),
});

const iso = (ms: number): string => new Date(ms).toISOString();
const isoOrNull = (ms: number | null): string | null => (ms === null ? null : iso(ms));
const asideOrNull = (set: LiveSetAside | null): z.infer<typeof aside> | null => (set && (({ untilMs, ...rest }) => ({ ...rest, until: iso(untilMs) }))(set));

export function describeForApi({ raisedAtMs, clearedAtMs, acknowledgedAtMs, outConfirmedAtMs, shelved, outOfService, ...rest }: LiveAlarm): z.infer<typeof alarmShape> {
  return {
    ...rest,
    raisedAt: iso(raisedAtMs),
    clearedAt: isoOrNull(clearedAtMs),
    acknowledgedAt: isoOrNull(acknowledgedAtMs),
    outConfirmedAt: isoOrNull(outConfirmedAtMs),
    shelved: asideOrNull(shelved),
    outOfService: asideOrNull(outOfService),
  };
}
