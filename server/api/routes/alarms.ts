import { randomUUID } from 'node:crypto';
import type { FastifyRequest } from 'fastify';
import { z } from 'zod';
import type { Action } from '../../../domain/site/log.ts';
import { standingAlarms } from '../../live/describe.ts';
import type { SiteWriter } from '../../intake/site-writer.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { conflict, notFound } from '../problem-error.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const alarm = z.object({
  id: z.string(),
  name: z.string(),
  title: z.string(),
  site: z.string(),
  rig: z.string().nullable(),
  owner: z.string(),
  point: z.string(),
  priority: z.enum(['critical', 'high', 'medium', 'low']),
  state: z.string().describe('state by its name in ISA-18.2 / IEC 62682'),
  raisedAt: rfc3339,
  clearedAt: rfc3339.nullable(),
  acknowledgedAt: rfc3339.nullable(),
  acknowledgedBy: z.string().nullable(),
  value: z.number().nullable(),
  limit: z.number().nullable(),
  unit: z.string(),
  cause: z.string(),
  consequence: z.string(),
  response: z.string(),
  respondWithin: z.string(),
});

const done = z.object({ id: z.string(), state: z.string() });
const params = z.object({ id: z.string().max(80) });
const headers = z.object({ 'idempotency-key': z.string().min(8).max(80).optional() });

const iso = (ms: number): string => new Date(ms).toISOString();
const isoOrNull = (ms: number | null): string | null => (ms === null ? null : iso(ms));

/** Standing alarms, and what a person can do about one. */
export function alarmRoutes(api: Api, context: ApiContext): void {
  api.get('/alarms', { schema: { summary: 'Alarms that stand', response: { 200: listOf(alarm) } } }, (request) => {
    need(request, 'watch');
    const items = [...context.writers.values()].flatMap((writer) =>
      standingAlarms(writer.state).map(({ raisedAtMs, clearedAtMs, acknowledgedAtMs, ...rest }) => ({ ...rest, raisedAt: iso(raisedAtMs), clearedAt: isoOrNull(clearedAtMs), acknowledgedAt: isoOrNull(acknowledgedAtMs) })),
    );
    return { items, next: null };
  });
  api.post('/alarms/:id/acknowledge', { schema: { summary: 'I have it', params, headers, response: { 200: done } } }, (request) => {
    const { name: by, role } = need(request, 'acknowledge-alarm');
    return act(context, request, request.params.id, (key) => ({ kind: 'acknowledge', alarm: request.params.id, key, by, role, from: request.ip }));
  });
  api.post('/alarms/:id/reset', { schema: { summary: 'Reset a latched alarm whose cause is gone', params, headers, response: { 200: done } } }, (request) => {
    const { name: by, role } = need(request, 'reset-alarm');
    return act(context, request, request.params.id, (key) => ({ kind: 'reset', alarm: request.params.id, key, by, role, from: request.ip }));
  });
}

async function act(context: ApiContext, request: FastifyRequest, id: string, make: (key: string) => Action): Promise<z.infer<typeof done>> {
  const writer = findWriter(context.writers, id);
  const key = request.headers['idempotency-key'];
  const { refusal } = await writer.act(make(typeof key === 'string' ? key : randomUUID()));
  if (refusal !== null) throw conflict(refusal);
  const standing = standingAlarms(writer.state).find((held) => held.id === id);
  return { id, state: standing?.state ?? 'normal' };
}

/** Ids are `<site>-<seq>-<n>`; the site's writer judges whether the alarm still stands. */
function findWriter(writers: ReadonlyMap<string, SiteWriter>, id: string): SiteWriter {
  const site = /^(.+)-\d+-\d+$/.exec(id)?.[1];
  const writer = site === undefined ? undefined : writers.get(site);
  if (!writer) throw notFound(`alarm ${JSON.stringify(id)}`);
  return writer;
}
