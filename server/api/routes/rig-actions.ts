import type { FastifyRequest } from 'fastify';
import { z } from 'zod';
import { ENTRY_KINDS } from '../../../domain/alarms/situation.ts';
import { MAX_BUMP_TEST_MIN, type RigAction } from '../../../domain/shift/next-situation.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findRig } from '../find-rig.ts';
import { conflict } from '../problem-error.ts';
import { rfc3339 } from '../shapes.ts';
import { idempotency, keyOf } from './alarms.ts';

const situation = z.object({
  rig: z.string(),
  underHood: z.array(z.object({ name: z.string(), since: rfc3339 })),
  bumpTestUntil: rfc3339.nullable(),
});
const params = z.object({ rig: z.string().max(40) });
const person = z.strictObject({ name: z.string().trim().min(1).max(64).describe('the person, not the rig: exposure goes with the person') });
const bumpTest = z.strictObject({ minutes: z.number().min(0).max(MAX_BUMP_TEST_MIN).default(MAX_BUMP_TEST_MIN).describe('0 ends it') });
const entry = z.strictObject({
  kind: z.enum(ENTRY_KINDS),
  value: z.number().finite().nullable().default(null).describe('without a unit: psi gauge for a needle, °C for a spot and the dry bulb, mm for a plug gauge, kg for a pot filled, m² for an area, min for an announced stop'),
  second: z.number().finite().nullable().default(null).describe('the wet bulb beside the dry one'),
  unit: z.string().max(20).nullable().default(null).describe('UCUM code of the value'),
  place: z.string().trim().max(120).default(''),
  text: z.string().trim().max(500).default(''),
});

/** What people tell of a rig: who is under the hood, a bump test, readings by hand. */
export function rigActionRoutes(api: Api, context: ApiContext): void {
  const schema = (summary: string) => ({ summary, params, headers: idempotency, response: { 200: situation } });
  api.post('/rigs/:rig/hood-in', { config: { permission: 'tend-rig' }, schema: { ...schema('Somebody goes under the hood'), body: person } }, (request) => act(context, request, { kind: 'hood-in', rig: request.params.rig, name: request.body.name }));
  api.post('/rigs/:rig/hood-out', { config: { permission: 'tend-rig' }, schema: { ...schema('Somebody comes out from under the hood'), body: person } }, (request) => act(context, request, { kind: 'hood-out', rig: request.params.rig, name: request.body.name }));
  api.post('/rigs/:rig/bump-test', { config: { permission: 'tend-rig' }, schema: { ...schema('Bump test: carbon monoxide is not announced, for ten minutes at most, nobody under the hood'), body: bumpTest } }, (request) =>
    act(context, request, { kind: 'bump-test', rig: request.params.rig, minutes: request.body.minutes }),
  );
  api.post('/rigs/:rig/entries', { config: { permission: 'tend-rig' }, schema: { ...schema('A reading by hand, a test done, a change made'), body: entry } }, (request) => {
    const { kind, ...rest } = request.body;
    return act(context, request, { kind: 'entry', rig: request.params.rig, entry: kind, ...rest });
  });
}

async function act(context: ApiContext, request: FastifyRequest, said: RigAction): Promise<z.infer<typeof situation>> {
  const { name: by, role } = need(request, 'tend-rig');
  const { writer } = findRig(context.writers, said.rig);
  const { refusal } = await writer.act({ ...said, key: keyOf(request), by, role, from: request.ip });
  if (refusal !== null) throw conflict(refusal);
  const { underHood, bumpTestUntilMs } = writer.state.situation(said.rig);
  return {
    rig: said.rig,
    underHood: underHood.map(({ name, sinceMs }) => ({ name, since: new Date(sinceMs).toISOString() })),
    bumpTestUntil: bumpTestUntilMs === null ? null : new Date(bumpTestUntilMs).toISOString(),
  };
}
