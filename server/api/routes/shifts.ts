import type { FastifyRequest } from 'fastify';
import { z } from 'zod';
import { NO_SETUP } from '../../../domain/shift/shift.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findRig } from '../find-rig.ts';
import { findShift, isReplay, tellShift } from '../find-shift.ts';
import { conflict, ProblemError } from '../problem-error.ts';
import { calibrationsBody, cardShape, crewBody, describeCard, describeEntries, entryShape, setupBody, shiftShape } from '../shift-shape.ts';
import { instant, listOf } from '../shapes.ts';
import { idempotency, keyOf } from './alarms.ts';

const params = z.object({ id: z.string().max(80) });
const query = z.object({
  site: z.string().optional(),
  rig: z.string().optional(),
  search: z.string().trim().max(100).optional().describe('words in the crew, the setup, notes and entries'),
  state: z.enum(['open', 'ended', 'signed-once', 'sealed']).optional(),
  from: instant.optional(),
  to: instant.optional(),
  limit: z.coerce.number().int().min(1).max(500).default(100),
  cursor: z.string().optional(),
});
const startBody = z.strictObject({ rig: z.string(), crew: crewBody.default([]), setup: setupBody.default({ ...NO_SETUP }), calibrations: calibrationsBody.default([]), drill: z.boolean().default(false) });

/** Shifts: the recorded ones, starting and ending one. What is added to one is in `shift-additions.ts`. */
export function shiftRoutes(api: Api, context: ApiContext): void {
  const { store, writers } = context;
  const answer = (id: string): Promise<z.infer<typeof shiftShape>> => tellShift(context, id);

  api.get('/shifts', { config: { permission: 'watch' }, schema: { summary: 'Shifts, newest first', querystring: query, response: { 200: listOf(cardShape) } } }, async (request) => {
    need(request, 'watch');
    const { site, rig, search, state, from, to, limit, cursor } = request.query;
    const sites = site === undefined ? [...writers.keys()] : [site].filter((id) => writers.has(id));
    const found = await store.shiftRecord.list({ sites, rig, search, state, fromMs: from, toMs: to, limit, after: cursor === undefined ? undefined : parseCursor(cursor) });
    const last = found.at(-1)?.shift;
    return { items: await Promise.all(found.map(async (one) => describeCard(one, await isReplay(context, one)))), next: last && found.length === limit ? `${last.startedAtMs}.${last.id}` : null };
  });
  api.get('/shifts/:id', { config: { permission: 'watch' }, schema: { summary: 'One shift', params, response: { 200: shiftShape } } }, (request) => {
    need(request, 'watch');
    return answer(request.params.id);
  });
  api.get('/shifts/:id/entries', { config: { permission: 'watch' }, schema: { summary: 'What was entered by hand on a shift', params, response: { 200: listOf(entryShape) } } }, async (request) => {
    need(request, 'watch');
    await findShift(context, request.params.id);
    return { items: describeEntries(await store.shiftRecord.items(request.params.id)), next: null };
  });
  api.post('/shifts', { config: { permission: 'run-shift' }, schema: { summary: 'Start a shift on a rig', headers: idempotency, body: startBody, response: { 201: shiftShape } } }, async (request, reply) => {
    const { name: by, role } = need(request, 'run-shift');
    const { writer } = findRig(writers, request.body.rig);
    const result = await writer.act({ kind: 'start-shift', ...request.body, key: keyOf(request), by, role, from: request.ip });
    if (result.refusal !== null || !result.shift) throw conflict(result.refusal ?? 'no shift was started');
    return reply.code(201).send(await answer(result.shift.id));
  });
  api.post('/shifts/:id/end', { config: { permission: 'run-shift' }, schema: { summary: 'End a shift', params, headers: idempotency, response: { 200: shiftShape } } }, (request) => end(request, request.params.id));

  async function end(request: FastifyRequest, id: string): Promise<z.infer<typeof shiftShape>> {
    const { name: by, role } = need(request, 'run-shift');
    const { writer } = await findShift(context, id);
    const { refusal } = await writer.act({ kind: 'end-shift', shift: id, key: keyOf(request), by, role, from: request.ip });
    if (refusal !== null) throw conflict(refusal);
    return answer(id);
  }
}

function parseCursor(text: string): { startedAtMs: number; id: string } {
  const match = /^(\d{1,15})\.([\w-]{1,80})$/.exec(text);
  if (!match) throw new ProblemError(400, 'Bad request', `cursor: found ${JSON.stringify(text)}, expected the "next" of an earlier answer`);
  return { startedAtMs: Number(match[1]), id: match[2] ?? '' };
}
