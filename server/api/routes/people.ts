import { z } from 'zod';
import { ROLES, TOKEN_ROLES } from '../../access/role.ts';
import { type Api, type ApiContext, doerOf } from '../context.ts';
import { conflict, notFound, ProblemError } from '../problem-error.ts';
import { contact, newContact } from './notices.ts';
import { instant, listOf, rfc3339 } from '../shapes.ts';

const sites = z.array(z.string().max(32)).max(500).nullable().describe('sites they may see; null: every site');
const person = z.object({ name: z.string(), role: z.enum(TOKEN_ROLES), sites, disabled: z.boolean(), hasPassword: z.boolean(), hasPin: z.boolean(), hasTotp: z.boolean() });
const token = z.object({ name: z.string(), role: z.enum(TOKEN_ROLES), sites, until: rfc3339.nullable(), madeBy: z.string().nullable() });
const byName = z.object({ name: z.string().max(64) });
const nothing = { 204: z.null() };
const MANAGE = { permission: 'manage-people' } as const;

const newPerson = z.strictObject({ name: z.string().max(64), role: z.enum(ROLES), sites: sites.default(null), password: z.string().max(200).default('').describe('none for who signs in through the company') });
const changes = z.strictObject({
  role: z.enum(ROLES).optional(),
  sites: sites.optional(),
  disabled: z.boolean().optional(),
  pin: z.string().max(8).nullable().optional().describe('4 to 8 digits, for devices at the rig; null takes it away'),
  secondFactor: z.null().optional().describe('null takes a lost one away'),
});
const code = z.object({ code: z.string().describe('told once; good once, for a day'), until: rfc3339 });
const newToken = z.strictObject({ name: z.string().max(64), role: z.enum(TOKEN_ROLES), sites: sites.default(null), until: instant.optional().describe('without it 90 days; a year at most') });

/** People and tokens, for administrators. */
export function peopleRoutes(api: Api, { accounts, notify }: ApiContext): void {
  const copy = <T extends { readonly sites: readonly string[] | null }>(held: T) => ({ ...held, sites: held.sites && [...held.sites] });

  api.get('/people', { config: MANAGE, schema: { summary: 'Everybody who may sign in', response: { 200: listOf(person) } } }, async () => ({ items: (await accounts.users()).map(copy), next: null }));
  api.post('/people', { config: MANAGE, schema: { summary: 'Add a person', body: newPerson, response: { 201: person } } }, async (request, reply) => {
    const { name, role, sites: seen, password } = request.body;
    if ((await accounts.users()).some((one) => one.name === name)) throw conflict(`there is already somebody of the name ${JSON.stringify(name)}`);
    await accounts.addUser(name, role, password, { sites: seen, doer: doerOf(request) });
    return reply.code(201).send(await findPerson(name));
  });
  api.post('/people/:name', { config: MANAGE, schema: { summary: 'Change a person; their sessions end', params: byName, body: changes, response: { 200: person } } }, async (request) => {
    const { name } = request.params;
    const { pin, secondFactor, ...rest } = request.body;
    await findPerson(name);
    if (Object.keys(rest).length > 0) await accounts.change(name, rest, doerOf(request));
    if (pin !== undefined) await accounts.setPin(name, pin, doerOf(request));
    if (secondFactor === null) await accounts.setTotp(name, null, null, doerOf(request));
    return findPerson(name);
  });
  api.post('/people/:name/one-time-code', { config: MANAGE, schema: { summary: 'A code with which they choose a password; nothing changes until it is used', params: byName, response: { 201: code } } }, async (request, reply) => {
    const { name } = await findPerson(request.params.name);
    if (name === request.identity?.name) throw new ProblemError(400, 'Bad request', 'your own password is changed with the old one');
    const { code: made, untilMs } = await accounts.codes.issue(name, doerOf(request));
    return reply.code(201).send({ code: made, until: new Date(untilMs).toISOString() });
  });
  api.get('/people/:name/contact', { config: MANAGE, schema: { summary: 'How they are told of alarms', params: byName, response: { 200: contact.extend({ browsers: z.number() }) } } }, async (request) => {
    const { name } = await findPerson(request.params.name);
    const { quiet, ...rest } = await notify.contacts.of(name);
    return { ...rest, quiet: quiet && { ...quiet }, browsers: (await notify.contacts.subscriptions(name)).length };
  });
  api.put('/people/:name/contact', { config: MANAGE, schema: { summary: 'Change how they are told', params: byName, body: newContact, response: { 200: contact } } }, async (request) => {
    const { name } = await findPerson(request.params.name);
    const { language = (await notify.contacts.of(name)).language, ...rest } = request.body;
    const made = { ...rest, language };
    await notify.contacts.set(name, made, doerOf(request));
    return made;
  });
  api.get('/tokens', { config: MANAGE, schema: { summary: 'Bearer tokens of programs', response: { 200: listOf(token) } } }, async () => ({
    items: (await accounts.tokens.list()).map(({ untilMs, ...rest }) => ({ ...copy(rest), until: untilMs === null ? null : new Date(untilMs).toISOString() })),
    next: null,
  }));
  api.post('/tokens', { config: MANAGE, schema: { summary: 'Make a token; it is told once', body: newToken, response: { 201: z.object({ token: z.string() }) } } }, async (request, reply) => {
    const { name, role, sites: seen, until } = request.body;
    return reply.code(201).send({ token: await accounts.tokens.add(name, role, { sites: seen, untilMs: until }, doerOf(request)) });
  });
  api.delete('/tokens/:name', { config: MANAGE, schema: { summary: 'Revoke a token', params: byName, response: nothing } }, async (request, reply) => {
    if (!(await accounts.tokens.revoke(request.params.name, doerOf(request)))) throw notFound(`token ${JSON.stringify(request.params.name)}`);
    return reply.code(204).send(null);
  });

  async function findPerson(name: string): Promise<z.infer<typeof person>> {
    const held = (await accounts.users()).find((one) => one.name === name);
    if (!held) throw notFound(`person ${JSON.stringify(name)}`);
    return copy(held);
  }
}
