import { randomUUID } from 'node:crypto';
import type { FastifyRequest } from 'fastify';
import { z } from 'zod';
import { SHELF_REASONS, mayShelve } from '../../../domain/alarms/set-aside.ts';
import type { AlarmAction } from '../../../domain/site/log.ts';
import { reaches } from '../../access/reach.ts';
import { isAtRig, may, type Permission, type Role } from '../../access/role.ts';
import type { Site } from '../../intake/site.ts';
import { standingAlarms } from '../../live/describe-alarm.ts';
import { alarmShape, describeForApi } from '../alarm-shape.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { conflict, notAllowed, notFound, ProblemError } from '../problem-error.ts';
import { instant, listOf } from '../shapes.ts';

const done = z.object({ id: z.string(), state: z.string().describe('state by its name in ISA-18.2 / IEC 62682; normal once it is over') });
const params = z.object({ id: z.string().max(120).describe('id of the occurrence; to set a quiet alarm aside, its key `<name>@<owner>/<point>`') });
export const idempotency = z.object({ 'idempotency-key': z.string().min(8).max(80).optional().describe('the same key again gets the same answer, and is done once') });
const words = z.string().trim().min(1).max(500);

const acknowledgeBody = z.strictObject({ atRig: z.boolean().optional().describe('from a device at the rig; only that silences the rig') }).nullish();
const shelveBody = z.strictObject({ reason: z.enum(SHELF_REASONS), text: words, minutes: z.number().int().min(1).max(720).describe('a shift at most') });
const outOfServiceBody = z.strictObject({ until: instant, approvedBy: z.string().min(1).max(64).describe('a user who may approve it, not yourself'), text: words });

type Said<A = AlarmAction> = A extends AlarmAction ? Omit<A, 'alarm'> : never;

/** Standing alarms, and what a person can do about one. */
export function alarmRoutes(api: Api, context: ApiContext): void {
  api.get('/alarms', { config: { permission: 'watch' }, schema: { summary: 'Alarms that stand, and those set aside: shelved, suppressed, out of service', response: { 200: listOf(alarmShape) } } }, (request) => {
    need(request, 'watch');
    return { items: [...context.writers.values()].flatMap((writer) => standingAlarms(writer.state).map(describeForApi)), next: null };
  });

  const schema = (summary: string) => ({ summary, params, headers: idempotency, response: { 200: done } });
  api.post('/alarms/:id/acknowledge', { config: { permission: 'acknowledge-alarm' }, schema: { ...schema('I have it'), body: acknowledgeBody } }, (request) => {
    const { role } = need(request, 'acknowledge-alarm');
    return act(context, request, 'acknowledge-alarm', request.params.id, { kind: 'acknowledge', atRig: isAtRig(role, request.body?.atRig) });
  });
  api.post('/alarms/:id/confirm-out', { config: { permission: 'confirm-out' }, schema: schema('Blaster out and accounted for') }, (request) => act(context, request, 'confirm-out', request.params.id, { kind: 'confirm-out' }));
  api.post('/alarms/:id/reset', { config: { permission: 'reset-alarm' }, schema: schema('Reset a latched alarm whose cause is gone') }, (request) => act(context, request, 'reset-alarm', request.params.id, { kind: 'reset' }));
  api.post('/alarms/:id/shelve', { config: { permission: 'shelve-alarm' }, schema: { ...schema('Shelve it, with a reason and an end; it returns by itself and is announced anew'), body: shelveBody } }, (request) => {
    const { role } = need(request, 'shelve-alarm');
    needToShelve(context, request.params.id, role);
    const { reason, text, minutes } = request.body;
    return act(context, request, 'shelve-alarm', request.params.id, { kind: 'shelve', reason, text, untilMs: context.clock.nowMs() + minutes * 60_000 });
  });
  api.post('/alarms/:id/unshelve', { config: { permission: 'shelve-alarm' }, schema: schema('Take it off the shelf') }, (request) => act(context, request, 'shelve-alarm', request.params.id, { kind: 'unshelve' }));
  api.post('/alarms/:id/out-of-service', { config: { permission: 'take-out-of-service' }, schema: { ...schema('Out of service: approved by somebody else, with an end'), body: outOfServiceBody } }, async (request) => {
    const { approvedBy, until, text } = request.body;
    await needApprover(context, approvedBy, findWriter(context, request.params.id).siteId);
    return act(context, request, 'take-out-of-service', request.params.id, { kind: 'out-of-service', approvedBy, text, untilMs: until });
  });
  api.post('/alarms/:id/in-service', { config: { permission: 'take-out-of-service' }, schema: schema('Back in service') }, (request) => act(context, request, 'take-out-of-service', request.params.id, { kind: 'in-service' }));
}

async function act(context: ApiContext, request: FastifyRequest, permission: Permission, alarm: string, said: Said): Promise<z.infer<typeof done>> {
  const { name: by, role } = need(request, permission);
  const writer = findWriter(context, alarm);
  const { refusal } = await writer.act({ ...said, alarm, key: keyOf(request), by, role, from: request.ip });
  if (refusal !== null) throw conflict(refusal);
  const held = writer.state.findAlarm(alarm)?.track.occurrence;
  return { id: held?.id ?? alarm, state: held?.state ?? 'normal' };
}

export function keyOf(request: FastifyRequest): string {
  const key = request.headers['idempotency-key'];
  return typeof key === 'string' ? key : randomUUID();
}

/** Told as 403, like any other lack of a right; the fold refuses it too. */
function needToShelve(context: ApiContext, id: string, role: Role): void {
  const rule = findWriter(context, id).state.findAlarm(id)?.bound.rule;
  if (rule && !mayShelve(rule.shelvableBy, role)) throw notAllowed('shelve this alarm');
}

async function needApprover({ accounts }: ApiContext, name: string, site: string): Promise<void> {
  const user = await accounts.find(name);
  if (user && may(user.role, 'approve-out-of-service') && reaches(user.sites, site)) return;
  throw new ProblemError(400, 'Bad request', `approvedBy: found ${JSON.stringify(name)}, expected a safety officer or manager of this server`);
}

/** Ids are `<site>-<seq>-<n>`, keys `<name>@<owner>/<point>`; the site's writer judges whether the alarm still stands. */
function findWriter({ writers }: ApiContext, id: string): Site {
  const site = /^(.+)-\d+-\d+$/.exec(id)?.[1];
  const writer = site === undefined ? [...writers.values()].find((one) => one.state.findAlarm(id)) : writers.get(site);
  if (!writer) throw notFound(`alarm ${JSON.stringify(id)}`);
  return writer;
}
