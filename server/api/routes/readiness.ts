import type { FastifyRequest } from 'fastify';
import { z } from 'zod';
import { parseQuantity } from '../../../domain/quantity/parse-quantity.ts';
import { USUAL_HELD_VOLUME } from '../../../domain/shift/readiness/hold-test.ts';
import type { ReadyAction } from '../../../domain/shift/readiness/readiness.ts';
import { READY_EVENTS, SEQUENCES } from '../../../domain/shift/readiness/step.ts';
import type { WireReadiness } from '../../../domain/wire/readiness.ts';
import type { Permission } from '../../access/role.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { describeReadiness } from '../describe-readiness.ts';
import { findRig } from '../find-rig.ts';
import { journalText } from '../journal-text.ts';
import { conflict, ProblemError } from '../problem-error.ts';
import { rfc3339 } from '../shapes.ts';
import { idempotency, keyOf } from './alarms.ts';

const proof = z.object({
  kind: z.string(),
  says: z.string(),
  state: z.enum(['holds', 'waits', 'fails', 'by-hand']).describe('by-hand: no sensor can say, the signature covers it'),
  advisory: z.boolean().describe('shown, and no hindrance'),
  point: z.string().nullable(),
  value: z.number().nullable(),
  low: z.number().nullable(),
  high: z.number().nullable(),
  unit: z.string().nullable().describe('UCUM'),
  note: z.string(),
});
const step = z.object({
  id: z.string(),
  sequence: z.enum(SEQUENCES),
  title: z.string(),
  todo: z.array(z.string()),
  seen: z.string().describe('what is signed: what only a person can see'),
  ifNot: z.string(),
  again: z.array(z.string()),
  state: z.enum(['open', 'done', 'again', 'expired', 'failed', 'not-so']),
  why: z.string(),
  waitsFor: z.array(z.string()),
  proofs: z.array(proof),
  signed: z.object({ at: rfc3339, by: z.string(), role: z.string(), note: z.string(), evidence: z.array(z.string()) }).nullable(),
  expiresAt: rfc3339.nullable(),
});
const readiness = z.object({
  rig: z.string(),
  shift: z.string().nullable(),
  result: z.object({ state: z.enum(['no-shift', 'not-ready', 'checks-done', 'released']), text: z.string(), because: z.array(z.object({ step: z.string(), title: z.string(), why: z.string() })) }),
  released: z.object({ at: rfc3339, by: z.string() }).nullable(),
  steps: z.array(step),
  hold: z
    .object({
      since: rfc3339,
      by: z.string(),
      seconds: z.number(),
      of: z.number(),
      from: z.number().describe('psi gauge'),
      to: z.number().describe('psi gauge'),
      ended: z.enum(['held', 'stopped', 'lost', 'disturbed']).nullable(),
      verdict: z.enum(['holds', 'leaks', 'unclear']).nullable(),
      leak: z.object({ value: z.number(), low: z.number(), high: z.number() }).nullable().describe('cfm of standard air, with 95 % limits'),
    })
    .nullable(),
  events: z.array(z.object({ id: z.enum(READY_EVENTS), words: z.string() })),
  history: z.array(z.object({ at: rfc3339, text: z.string() })).describe('newest first'),
});

const params = z.object({ rig: z.string().max(40) });
const stepId = z.string().min(1).max(40);
const volume = z
  .string()
  .max(40)
  .optional()
  .describe('what holds the air, with its unit, e.g. 2ft3; without it 2 ft³')
  .transform((written, context) => {
    if (written === undefined) return USUAL_HELD_VOLUME;
    try {
      const { si } = parseQuantity(written, 'volume');
      if (si >= 0.001 && si <= 20) return si;
      context.addIssue({ code: 'custom', message: `found ${JSON.stringify(written)}, expected 1 L to 20 m³` });
    } catch (error) {
      context.addIssue({ code: 'custom', message: (error as Error).message });
    }
    return z.NEVER;
  });

/** How many rows of a rig's journal are looked through for its history. */
const LOOK_THROUGH = 500;
const HISTORY = 60;

/** The check before blasting of a rig: its steps, what the sensors show of them, who signed, and who released it. */
export function readinessRoutes(api: Api, context: ApiContext): void {
  api.get('/rigs/:rig/readiness', { config: { permission: 'watch' }, schema: { summary: 'The check before blasting, shutdown and unblocking of a rig', params, response: { 200: readiness } } }, (request) => {
    need(request, 'watch');
    return tell(context, request.params.rig);
  });
  const schema = (summary: string) => ({ summary, params, headers: idempotency, response: { 200: readiness } });
  api.post('/rigs/:rig/readiness/sign', { config: { permission: 'sign-check' }, schema: { ...schema('Sign a step by name'), body: z.strictObject({ step: stepId, note: z.string().trim().max(300).default('') }) } }, (request) =>
    act(context, request, 'sign-check', { kind: 'ready-sign', rig: request.params.rig, ...request.body }),
  );
  api.post('/rigs/:rig/readiness/fail', { config: { permission: 'sign-check' }, schema: { ...schema('Say that a step is not so'), body: z.strictObject({ step: stepId, text: z.string().trim().max(300).default('') }) } }, (request) =>
    act(context, request, 'sign-check', { kind: 'ready-fail', rig: request.params.rig, ...request.body }),
  );
  api.post('/rigs/:rig/readiness/again', { config: { permission: 'sign-check' }, schema: { ...schema('Tell what happened: the steps it undoes are due again'), body: z.strictObject({ event: z.enum(READY_EVENTS) }) } }, (request) =>
    act(context, request, 'sign-check', { kind: 'ready-again', rig: request.params.rig, event: request.body.event }),
  );
  api.post('/rigs/:rig/readiness/begin', { config: { permission: 'sign-check' }, schema: { ...schema('Begin a list from its first step'), body: z.strictObject({ sequence: z.enum(SEQUENCES) }) } }, (request) =>
    act(context, request, 'sign-check', { kind: 'ready-begin', rig: request.params.rig, sequence: request.body.sequence }),
  );
  api.post('/rigs/:rig/readiness/hold', { config: { permission: 'sign-check' }, schema: { ...schema('Start or stop the hold test of the supply side'), body: z.strictObject({ start: z.boolean().default(true), volume }) } }, (request) =>
    act(context, request, 'sign-check', { kind: 'ready-hold', rig: request.params.rig, start: request.body.start, volume: request.body.volume }),
  );
  api.post('/rigs/:rig/readiness/release', { config: { permission: 'release-rig' }, schema: schema('The supervisor’s decision that the rig may start') }, (request) => act(context, request, 'release-rig', { kind: 'ready-release', rig: request.params.rig }));
}

async function act(context: ApiContext, request: FastifyRequest, permission: Permission, said: ReadyAction): Promise<z.infer<typeof readiness>> {
  const { name: by, role } = need(request, permission);
  const { writer } = findRig(context.writers, said.rig);
  const { refusal } = await writer.act({ ...said, key: keyOf(request), by, role, from: request.ip });
  if (refusal !== null) throw conflict(refusal);
  return tell(context, said.rig);
}

async function tell({ writers, store, clock }: ApiContext, rig: string): Promise<z.infer<typeof readiness>> {
  const { writer } = findRig(writers, rig);
  const check = writer.state.readiness(rig, Math.max(writer.state.atMs, clock.nowMs()));
  if (!check) throw new ProblemError(404, 'Not found', `there is no rig ${JSON.stringify(rig)}`);
  const shift = writer.state.shifts.find((one) => one.rig === rig && one.endedAtMs === null)?.id ?? null;
  const history = (await store.journal(writer.siteId, { owner: rig, limit: LOOK_THROUGH }))
    .filter(({ kind, detail }) => kind === 'action' && String(detail['kind']).startsWith('ready-'))
    .slice(0, HISTORY)
    .map((row) => ({ at: new Date(row.atMs).toISOString(), text: journalText(row) }));
  return describeReadiness(rig, shift, check, history) as WireReadiness & z.infer<typeof readiness>;
}
