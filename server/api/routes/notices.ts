import { z } from 'zod';
import { PRIORITIES } from '../../../domain/alarms/alarm.ts';
import { LANGUAGE_CODES } from '../../../domain/shift/language.ts';
import type { SiteConfig } from '../../../domain/shift/site-config.ts';
import { reaches } from '../../access/reach.ts';
import { CHANNELS, DELIVERY_STATES } from '../../notify/notice-store.ts';
import type { Notice } from '../../notify/notice.ts';
import { describePlan } from '../../notify/describe-plan.ts';
import { localTime } from '../../notify/who-is-told.ts';
import { wrongUrl } from '../../notify/outward-agent.ts';
import { type Api, type ApiContext, doerOf, need } from '../context.ts';
import { notAllowed, notFound, ProblemError } from '../problem-error.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const delivery = z.object({
  id: z.string(),
  round: z.number(),
  step: z.number(),
  person: z.string().nullable(),
  channel: z.enum(CHANNELS),
  state: z.enum(DELIVERY_STATES).describe('accepted: the channel’s first server has it; not that anybody read it'),
  attempts: z.number(),
  result: z.string().nullable(),
  at: rfc3339.nullable(),
  deadline: rfc3339,
});
const notice = z.object({
  id: z.string(),
  kind: z.enum(['alarm', 'seal']),
  site: z.string(),
  alarm: z.string().nullable(),
  shift: z.string().nullable().describe('the shift that was sealed'),
  title: z.string(),
  owner: z.string(),
  priority: z.enum(PRIORITIES as [string, ...string[]]).nullable().describe('null for a seal, which is no alarm'),
  raisedAt: rfc3339,
  endedAt: rfc3339.nullable(),
  endedWhy: z.string().nullable(),
  deliveries: z.array(delivery),
});
const minutes = z.number().int().min(0).max(1439).describe('minutes after local midnight of the site');
export const contact = z.strictObject({
  email: z.email().max(200).nullable(),
  quiet: z.strictObject({ fromMin: minutes, toMin: minutes }).nullable().describe('CO, loss of air and critical alarms are told all the same'),
  language: z.enum(LANGUAGE_CODES).nullable().describe('of messages; null: the site’s'),
});
/** As it is set: a program of before there was a choice of language leaves the choice as it is. */
export const newContact = contact.partial({ language: true });
const subscription = z.object({ id: z.string(), agent: z.string(), madeAt: rfc3339 });
const key = z.string().regex(/^[A-Za-z0-9_-]+={0,2}$/).max(200);
const newSubscription = z.strictObject({ endpoint: z.string().max(1000), expirationTime: z.number().nullish(), keys: z.strictObject({ p256dh: key, auth: key }) });
const recipient = z.object({ kind: z.enum(['person', 'role', 'rota', 'webhook']), id: z.string() });
const names = z.array(z.string()).describe('whom that means at this time');
const plan = z.object({
  site: z.string(),
  channels: z.array(z.enum(CHANNELS)),
  webhooks: z.array(z.string()),
  plans: z.array(z.object({ priority: z.enum(PRIORITIES as [string, ...string[]]), steps: z.array(z.object({ afterMs: z.number(), to: z.array(recipient), now: names })) })),
  rotas: z.array(z.object({ name: z.string(), turns: z.array(z.object({ who: z.string(), days: z.array(z.number()).describe('1 Monday to 7 Sunday'), fromMin: minutes, toMin: z.number() })), now: names })),
  lastWaitMs: z.number(),
  repeatMs: z.number().nullable(),
  people: z.array(z.object({ name: z.string(), role: z.string(), ways: z.array(z.enum(CHANNELS)), quiet: z.boolean() })),
});
const result = z.object({ person: z.string().nullable(), channel: z.enum(CHANNELS), accepted: z.boolean(), detail: z.string() });
const OWN = { permission: 'own-account' } as const;

/** What a notice is about. */
function subjectOf(of: Notice): Pick<z.input<typeof notice>, 'kind' | 'alarm' | 'shift' | 'title' | 'owner' | 'priority'> {
  if ('seal' in of) return { kind: 'seal', alarm: null, shift: of.seal.shift, title: 'Shift sealed', owner: of.seal.rig, priority: null };
  const { title, owner, priority } = of.body;
  return { kind: 'alarm', alarm: of.alarm, shift: null, title, owner, priority };
}

/** Who was told of what and how, one's own addresses, and the test to everybody. */
export function noticeRoutes(api: Api, { accounts, clock, notify, writers }: ApiContext): void {
  const { notices, contacts } = notify;
  const iso = (ms: number): string => new Date(ms).toISOString();

  api.get('/notices', { config: { permission: 'watch' }, schema: { summary: 'Notices, newest first, with what became of each', querystring: z.object({ site: z.string().max(32).optional(), limit: z.coerce.number().int().min(1).max(200).default(50) }), response: { 200: listOf(notice) } } }, async (request) => {
    const { site, limit } = request.query;
    const sites = [...writers.keys()].filter((id) => site === undefined || id === site);
    const held = (await Promise.all(sites.map((id) => notices.latest(id, limit)))).flat().toSorted((a, b) => b.raisedAtMs - a.raisedAtMs).slice(0, limit);
    const items = await Promise.all(held.map(async (one) => ({
      id: one.id, site: one.site, ...subjectOf(one), raisedAt: iso(one.raisedAtMs), endedAt: one.endedAtMs === null ? null : iso(one.endedAtMs), endedWhy: one.endedWhy,
      deliveries: (await notices.deliveries(one.id)).map((one) => ({ id: one.batch ?? one.id, round: one.round, step: one.step, person: one.person, channel: one.channel, state: one.state, attempts: one.attempts, result: one.result, at: one.atMs === null ? null : iso(one.atMs), deadline: iso(one.deadlineMs) })),
    })));
    return { items, next: null };
  });
  api.get('/notice-plans', { config: { permission: 'watch' }, schema: { summary: 'Whom each site’s plans reach now, and by what ways; a site without one tells on screens and beacon only', response: { 200: listOf(plan) } } }, async () => ({ items: (await Promise.all([...writers].map(([site, writer]) => planOf(site, writer.state.config ?? null)))).flat(), next: null }));
  api.post('/notices/test', { config: { permission: 'test-notices', rateLimit: { max: 5, timeWindow: 60_000 } }, schema: { summary: 'A test to everybody on a site’s plans; recorded', body: z.strictObject({ site: z.string().max(32) }), response: { 200: listOf(result) } } }, async (request) => {
    const { site } = request.body;
    if (!writers.has(site)) throw notFound(`site ${JSON.stringify(site)}`);
    const results = await notify.test(site, doerOf(request));
    return { items: results.map(({ isAccepted, ...rest }) => ({ ...rest, accepted: isAccepted })), next: null };
  });

  api.get('/contact', { config: OWN, schema: { summary: 'How you are told', response: { 200: contact } } }, async (request) => {
    const { quiet, ...rest } = await contacts.of(person(request));
    return { ...rest, quiet: quiet && { ...quiet } };
  });
  api.put('/contact', { config: OWN, schema: { summary: 'Change how you are told', body: newContact, response: { 200: contact } } }, async (request) => {
    const name = person(request);
    const { language = (await contacts.of(name)).language, ...rest } = request.body;
    const made = { ...rest, language };
    await contacts.set(name, made, doerOf(request));
    return made;
  });
  api.get('/push-key', { config: OWN, schema: { summary: 'The server’s key for Web Push', response: { 200: z.object({ key: z.string() }) } } }, () => ({ key: notify.publicKey }));
  api.get('/push-subscriptions', { config: OWN, schema: { summary: 'Browsers in which you are told', response: { 200: listOf(subscription) } } }, async (request) => ({
    items: (await contacts.subscriptions(person(request))).map(({ id, agent, madeMs }) => ({ id, agent, madeAt: iso(madeMs) })),
    next: null,
  }));
  api.post('/push-subscriptions', { config: OWN, schema: { summary: 'Be told in this browser', body: newSubscription, response: { 201: z.object({ id: z.string() }) } } }, async (request, reply) => {
    const { endpoint, keys } = request.body;
    const wrong = wrongUrl(endpoint, ownHosts());
    if (wrong !== null) throw new ProblemError(400, 'Bad request', `endpoint: ${wrong}`);
    return reply.code(201).send({ id: await contacts.subscribe(person(request), { endpoint, ...keys }, request.headers['user-agent'] ?? '', doerOf(request)) });
  });
  api.delete('/push-subscriptions/:id', { config: OWN, schema: { summary: 'Be told there no more', params: z.object({ id: z.string().max(40) }), response: { 204: z.null() } } }, async (request, reply) => {
    if (!(await contacts.unsubscribe(request.params.id, person(request), doerOf(request)))) throw notFound(`subscription ${JSON.stringify(request.params.id)}`);
    return reply.code(204).send(null);
  });

  async function planOf(site: string, config: SiteConfig | null): Promise<z.infer<typeof plan>[]> {
    if (!config?.notify) return [];
    const people = (await accounts.users()).filter((one) => !one.disabled && reaches(one.sites, site));
    const held = await describePlan(config.notify, people, contacts, localTime(clock.nowMs(), config.site.zone));
    const { channels, webhooks, plans, rotas, people: reached, ...times } = held;
    return [
      {
        site,
        ...times,
        channels: [...channels],
        webhooks: [...webhooks],
        plans: plans.map(({ priority, steps }) => ({ priority, steps: steps.map(({ afterMs, to, now }) => ({ afterMs, to: [...to], now: [...now] })) })),
        rotas: rotas.map(({ name, turns, now }) => ({ name, turns: turns.map(({ days, ...turn }) => ({ ...turn, days: [...days] })), now: [...now] })),
        people: reached.map(({ name, role, ways, isQuiet }) => ({ name, role, ways: [...ways], quiet: isQuiet })),
      },
    ];
  }

  /** Messages go to people; a program or a wall has no phone. */
  function person(request: Parameters<typeof need>[0]): string {
    const { name, way } = need(request, 'own-account');
    if (way === 'token' || way === 'wall') throw notAllowed('be told of alarms: that is for people');
    return name;
  }

  function ownHosts(): string[] {
    return [...writers.values()].flatMap((writer) => [...(writer.state.config?.notify?.ownHosts ?? [])]);
  }
}
