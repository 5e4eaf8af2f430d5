import { randomUUID } from 'node:crypto';
import { z } from 'zod';
import { PRIORITIES } from '../../../domain/alarms/alarm.ts';
import { type AlarmChanges, type Judged, together } from '../../../domain/site/rejudge.ts';
import { parseAlarmChanges } from '../../../domain/wire/site-yaml.ts';
import type { Proposal } from '../../record/proposals.ts';
import { type Rejudged, rejudgeShift } from '../../record/rejudge.ts';
import { type Api, type ApiContext, doerOf, need } from '../context.ts';
import { findShift } from '../find-shift.ts';
import { conflict, notFound, ProblemError } from '../problem-error.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const written = z.record(z.string(), z.unknown()).describe('changes as under `alarms:` in site.yaml, by alarm name');
const counts = z.object({ total: z.number(), audible: z.number(), critical: z.number(), high: z.number(), medium: z.number(), low: z.number() });
const judged = z.object({
  alarms: z.array(z.object({ name: z.string(), rig: z.string(), point: z.string().optional(), priority: z.enum(PRIORITIES), raisedAt: rfc3339, clearedAt: rfc3339.nullable(), audible: z.boolean() })),
  counts,
  perTenMinutes: z.number().describe('calls in the busiest ten minutes'),
  chattering: z.number().describe('alarms that called three times within a minute'),
});
const rejudgeBody = z.strictObject({ alarms: written, shifts: z.array(z.string()).max(100).optional().describe('more shifts to look at') });
const rejudgeAnswer = z.object({ before: judged, after: judged, speed: z.number().describe('times as fast as real: recorded time ÷ the time both recomputations took') });

const proposalBody = z.strictObject({ site: z.string(), alarms: written, reason: z.string().trim().min(1).max(1000), shifts: z.array(z.string()).max(100), before: judged.nullish(), after: judged.nullish() });
const decisionBody = z.strictObject({ reason: z.string().trim().min(1).max(1000).optional().describe('why it is put into force; the proposal’s own reason where it is left out') }).nullish();
const proposal = z.object({
  id: z.string(),
  site: z.string(),
  at: rfc3339,
  by: z.string(),
  reason: z.string(),
  alarms: written,
  shifts: z.array(z.string()),
  before: z.unknown(),
  after: z.unknown(),
  inForce: z.object({ at: rfc3339, by: z.string() }).nullable(),
});

/** Recorded shifts against changed alarm settings; what is better for them is proposed, and put into force by who may. */
export function rejudgeRoutes(api: Api, context: ApiContext): void {
  const { clock, store, writers, settings } = context;
  const params = z.object({ id: z.string().max(120) });
  // One at a time: each takes what the machine has to spare.
  let running: Promise<unknown> = Promise.resolve();
  api.post('/shifts/:id/rejudge', { config: { permission: 'rejudge' }, schema: { summary: 'What changed alarm settings would have made of recorded shifts', params, body: rejudgeBody, response: { 200: rejudgeAnswer } } }, async (request) => {
    need(request, 'rejudge');
    const changes = readChanges(request.body.alarms);
    const shifts = await Promise.all([...new Set([request.params.id, ...(request.body.shifts ?? [])])].map((id) => findShift(context, id)));
    const work = async (): Promise<z.infer<typeof rejudgeAnswer>> => {
      const begun = performance.now();
      const parts: Rejudged[] = [];
      for (const { writer, recorded } of shifts) parts.push(await rejudgeShift(store, writer.siteId, recorded.shift, changes, clock.nowMs()));
      const spanMs = parts.reduce((sum, part) => sum + part.spanMs, 0);
      return { before: describe(together(parts.map(({ before }) => before))), after: describe(together(parts.map(({ after }) => after))), speed: spanMs / (performance.now() - begun) };
    };
    const done = running.then(work);
    running = done.catch(() => undefined);
    return done;
  });

  api.post('/proposals', { config: { permission: 'rejudge' }, schema: { summary: 'Propose changed alarm settings', body: proposalBody, response: { 201: proposal } } }, async (request, reply) => {
    const { name: by } = need(request, 'rejudge');
    const { site, alarms, reason, shifts, before = null, after = null } = request.body;
    if (!writers.has(site)) throw notFound(`site ${JSON.stringify(site)}`);
    const made: Proposal = { id: randomUUID(), site, atMs: clock.nowMs(), by, reason, shifts, alarms, changes: readChanges(alarms), before, after, inForce: null };
    await store.proposals.add(made);
    return reply.code(201).send(describeProposal(made));
  });
  api.get('/proposals', { config: { permission: 'watch' }, schema: { summary: 'Proposed alarm settings, newest first', response: { 200: listOf(proposal) } } }, async (request) => {
    need(request, 'watch');
    return { items: (await store.proposals.list([...writers.keys()])).map(describeProposal), next: null };
  });
  api.post('/proposals/:id/put-into-force', { config: { permission: 'change-alarm-settings' }, schema: { summary: 'Put proposed alarm settings into force; the journal says who and why', params, body: decisionBody, response: { 200: proposal } } }, async (request) => {
    const { name: by } = need(request, 'change-alarm-settings');
    const found = await store.proposals.find(request.params.id);
    const writer = found ? writers.get(found.site) : undefined;
    if (!found || !writer) throw notFound(`proposal ${JSON.stringify(request.params.id)}`);
    if (found.inForce) throw conflict(`this proposal was put into force by ${found.inForce.by} already`);
    const why = request.body?.reason ?? found.reason;
    // Where there is a file it says so too: else the next change of the file would take it back.
    if (settings.has(found.site)) await settings.changeAlarms(found.site, found.alarms, why, doerOf(request));
    else await writer.putIntoForce(found.id, found.changes, by, why);
    await store.proposals.noteInForce(found.id, clock.nowMs(), by);
    return describeProposal((await store.proposals.find(found.id)) ?? found);
  });
}

/** @throws ProblemError 400 naming the alarm and the field */
function readChanges(alarms: unknown): AlarmChanges {
  const read = parseAlarmChanges(alarms);
  if ('changes' in read) return read.changes;
  throw new ProblemError(400, 'Bad request', read.problems.map(({ path, message }) => `${(path[0] === 'alarms' ? path : ['alarms', ...path]).join('.')}: ${message}`).join('; '));
}

function describe({ alarms, ...rest }: Judged): z.infer<typeof judged> {
  return { ...rest, alarms: alarms.map(({ raisedAtMs, clearedAtMs, ...alarm }) => ({ ...alarm, raisedAt: new Date(raisedAtMs).toISOString(), clearedAt: clearedAtMs === null ? null : new Date(clearedAtMs).toISOString() })) };
}

function describeProposal({ atMs, changes: _changes, inForce, shifts, ...rest }: Proposal): z.infer<typeof proposal> {
  return { ...rest, shifts: [...shifts], at: new Date(atMs).toISOString(), inForce: inForce && { at: new Date(inForce.atMs).toISOString(), by: inForce.by } };
}
