import { z } from 'zod';
import { WAYS } from '../../access/identity.ts';
import { verifySecret } from '../../access/passwords.ts';
import { may, TOKEN_ROLES } from '../../access/role.ts';
import { checkTotp } from '../../access/totp.ts';
import { type Api, type ApiContext, doerOf, need } from '../context.ts';
import { conflict, notAllowed, notFound, ProblemError } from '../problem-error.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const session = z.object({ id: z.string(), name: z.string(), way: z.enum(WAYS), startedAt: rfc3339, expiresAt: rfc3339, address: z.string(), agent: z.string(), current: z.boolean() });
const account = z.object({ name: z.string(), role: z.enum(TOKEN_ROLES), sites: z.array(z.string()).nullable().describe('what you may see; null: every site'), way: z.enum(WAYS), hasSecondFactor: z.boolean() });
const nothing = { 204: z.null() };
const OWN = { permission: 'own-account' } as const;

/** One's own account: password, second factor, sessions. An administrator sees and ends everybody's sessions. */
export function accountRoutes(api: Api, { accounts, clock }: ApiContext): void {
  /** A PIN, a company's sign-in or a token must not change how somebody signs in; nor does whoever found a screen open. */
  const needPassword = async (request: Parameters<typeof need>[0], password: string): Promise<string> => {
    const { name, way } = need(request, 'own-account');
    if (way !== 'password') throw notAllowed('change how you sign in, except when you signed in with your password');
    if ((await verifySecret((await accounts.find(name))?.hash, password)) !== true) throw new ProblemError(403, 'Not allowed', 'password: this is not yours');
    return name;
  };

  api.get('/account', { config: OWN, schema: { summary: 'Your own account', response: { 200: account } } }, async (request) => {
    const { name, role, sites, way } = need(request, 'own-account');
    return { name, role, sites: sites && [...sites], way, hasSecondFactor: way !== 'token' && way !== 'wall' && Boolean((await accounts.find(name))?.totp) };
  });
  api.get('/sessions', { config: OWN, schema: { summary: 'Sessions: one’s own, or everybody’s for an administrator', response: { 200: listOf(session) } } }, async (request) => {
    const { name, role, key } = need(request, 'own-account');
    const items = (await accounts.sessions.list(may(role, 'manage-people') ? undefined : name)).map(({ startedMs, expiresMs, cap: _cap, ...rest }) => ({
      ...rest, startedAt: new Date(startedMs).toISOString(), expiresAt: new Date(expiresMs).toISOString(), current: key === `session ${rest.id}`,
    }));
    return { items, next: null };
  });
  api.delete('/sessions/:id', { config: OWN, schema: { summary: 'End a session; its pages close at once', params: z.object({ id: z.string().max(40) }), response: nothing } }, async (request, reply) => {
    const { name, role } = need(request, 'own-account');
    const { id } = request.params;
    const isTheirs = may(role, 'manage-people') || (await accounts.sessions.list(name)).some((held) => held.id === id);
    if (!isTheirs || !(await accounts.sessions.end(id, doerOf(request)))) throw notFound(`session ${JSON.stringify(id)}`);
    return reply.code(204).send(null);
  });
  api.post('/password', { config: { ...OWN, rateLimit: { max: 10, timeWindow: 60_000 } }, schema: { summary: 'A new password', body: z.strictObject({ password: z.string().max(200), new: z.string().max(200) }), response: nothing } }, async (request, reply) => {
    const name = await needPassword(request, request.body.password);
    await accounts.setPassword(name, request.body.new, doerOf(request), need(request, 'own-account').key);
    return reply.code(204).send(null);
  });
  api.post('/second-factor', { config: OWN, schema: { summary: 'A key for an authenticator app; not in force until a code of it was seen', response: { 200: z.object({ secret: z.string(), uri: z.string() }) } } }, (request) => {
    const { name, way } = need(request, 'own-account');
    if (way !== 'password') throw notAllowed('change how you sign in, except when you signed in with your password');
    return accounts.offerTotp(name);
  });
  api.put('/second-factor', { config: { ...OWN, rateLimit: { max: 10, timeWindow: 60_000 } }, schema: { summary: 'Put the second factor into force', body: z.strictObject({ password: z.string().max(200), secret: z.string().regex(/^[A-Z2-7]{32}$/), code: z.string().max(10) }), response: nothing } }, async (request, reply) => {
    const name = await needPassword(request, request.body.password);
    if ((await accounts.find(name))?.totp) throw conflict('there is a second factor already: take it away first');
    const step = checkTotp(request.body.secret, request.body.code, clock.nowMs(), null);
    if (step === null) throw new ProblemError(400, 'Bad request', 'code: this is not what the app shows for that key now');
    await accounts.setTotp(name, request.body.secret, step, doerOf(request));
    return reply.code(204).send(null);
  });
  api.delete('/second-factor', { config: { ...OWN, rateLimit: { max: 10, timeWindow: 60_000 } }, schema: { summary: 'Take one’s second factor away', body: z.strictObject({ password: z.string().max(200), code: z.string().max(10) }), response: nothing } }, async (request, reply) => {
    const name = await needPassword(request, request.body.password);
    const held = await accounts.find(name);
    if (!held?.totp) throw notFound('second factor');
    if (checkTotp(held.totp, request.body.code, clock.nowMs(), held.totpStep) === null) throw new ProblemError(403, 'Not allowed', 'code: this is not what the app shows now');
    await accounts.setTotp(name, null, null, doerOf(request));
    return reply.code(204).send(null);
  });
}
