import { randomUUID } from 'node:crypto';
import { z } from 'zod';
import type { Hold } from '../../record/retention.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findShift } from '../find-shift.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const params = z.object({ id: z.string().max(120) });
const body = z.strictObject({ reason: z.string().trim().min(1).max(500), held: z.boolean().default(true).describe('false lets go') });
const hold = z.object({ shift: z.string(), at: rfc3339, by: z.string(), reason: z.string() });

/** Keeps a shift's readings from being erased: for a claim, an inspection, a lawyer's letter. */
export function holdRoutes(api: Api, context: ApiContext): void {
  const describe = (held: Hold | null): z.infer<typeof hold>[] => (held ? [{ shift: held.shift, at: new Date(held.atMs).toISOString(), by: held.by, reason: held.reason }] : []);
  api.get('/shifts/:id/hold', { config: { permission: 'watch' }, schema: { summary: 'Whether a shift’s readings are held, by whom and why', params, response: { 200: listOf(hold) } } }, async (request) => {
    need(request, 'watch');
    const { recorded } = await findShift(context, request.params.id);
    return { items: describe(await context.store.retention.hold(recorded.shift.id)), next: null };
  });
  api.post('/shifts/:id/hold', { config: { permission: 'hold-record' }, schema: { summary: 'Keep a shift’s readings from being erased, or let them go', params, body, response: { 200: listOf(hold) } } }, async (request) => {
    const { name: by, role } = need(request, 'hold-record');
    const { writer, recorded } = await findShift(context, request.params.id);
    const { reason, held } = request.body;
    await writer.act({ kind: 'hold-record', shift: recorded.shift.id, isHeld: held, reason, key: randomUUID(), by, role, from: request.ip });
    return { items: describe(await context.store.retention.hold(recorded.shift.id)), next: null };
  });
}
