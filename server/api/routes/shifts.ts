import { randomUUID } from 'node:crypto';
import { z } from 'zod';
import type { Shift } from '../../../domain/shift/next-shifts.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findRig } from '../find-rig.ts';
import { conflict, notFound } from '../problem-error.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const shift = z.object({ id: z.string(), rig: z.string(), startedAt: rfc3339, startedBy: z.string(), endedAt: rfc3339.nullable() });

function describeShift(held: Shift): z.infer<typeof shift> {
  return { id: held.id, rig: held.rig, startedBy: held.startedBy, startedAt: new Date(held.startedAtMs).toISOString(), endedAt: held.endedAtMs === null ? null : new Date(held.endedAtMs).toISOString() };
}

/** Shifts: the recorded ones, starting and ending one. */
export function shiftRoutes(api: Api, context: ApiContext): void {
  const { store, writers } = context;
  api.get('/shifts', { config: { permission: 'watch' }, schema: { summary: 'Shifts, newest first', response: { 200: listOf(shift) } } }, (request) => {
    need(request, 'watch');
    return { items: [...writers.keys()].flatMap((site) => store.shifts(site, 500)).map(describeShift), next: null };
  });
  api.get('/shifts/:id', { config: { permission: 'watch' }, schema: { summary: 'One shift', params: z.object({ id: z.string() }), response: { 200: shift } } }, (request) => {
    need(request, 'watch');
    const found = store.shift(request.params.id);
    if (!found || !writers.has(found.site)) throw notFound(`shift ${JSON.stringify(request.params.id)}`);
    return describeShift(found.shift);
  });
  api.post('/shifts', { config: { permission: 'run-shift' }, schema: { summary: 'Start a shift on a rig', body: z.strictObject({ rig: z.string() }), response: { 201: shift } } }, async (request, reply) => {
    const { name: by, role } = need(request, 'run-shift');
    const { writer } = findRig(writers, request.body.rig);
    const result = await writer.act({ kind: 'start-shift', rig: request.body.rig, key: randomUUID(), by, role, from: request.ip });
    if (result.refusal !== null || !result.shift) throw conflict(result.refusal ?? 'no shift was started');
    return reply.code(201).send(describeShift(result.shift));
  });
  api.post('/shifts/:id/end', { config: { permission: 'run-shift' }, schema: { summary: 'End a shift', params: z.object({ id: z.string() }), response: { 200: shift } } }, async (request) => {
    const { name: by, role } = need(request, 'run-shift');
    const found = store.shift(request.params.id);
    const writer = found ? writers.get(found.site) : undefined;
    if (!writer) throw notFound(`shift ${JSON.stringify(request.params.id)}`);
    const result = await writer.act({ kind: 'end-shift', shift: request.params.id, key: randomUUID(), by, role, from: request.ip });
    if (result.refusal !== null || !result.shift) throw conflict(result.refusal ?? 'the shift was not ended');
    return describeShift(result.shift);
  });
}
