import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { cookieOf } from '../../access/identify.ts';
import { TOKEN_ROLES } from '../../access/role.ts';
import type { Caller, SignInResult } from '../../access/sign-in.ts';
import { clearOwnCookie, setOwnCookie } from '../cookies.ts';
import { type Api, type ApiContext, doerOf } from '../context.ts';
import { notSignedIn, ProblemError } from '../problem-error.ts';

const identity = z.object({
  name: z.string(),
  role: z.enum(TOKEN_ROLES),
  sites: z.array(z.string()).nullable().describe('what they may see; null: every site'),
  watchOnly: z.boolean().describe('the account is being tried by somebody: this session only watches'),
});
const credentials = z.strictObject({
  name: z.string().max(64),
  password: z.string().max(200).optional(),
  pin: z.string().max(8).optional().describe('instead of the password, on a device at the rig'),
  code: z.string().max(10).optional().describe('of the authenticator app, where a second factor is set'),
});
const waysIn = z.object({
  demo: z.boolean().describe('everything behind it is made up'),
  openId: z.string().nullable().describe('name of the company’s sign-in; null where there is none'),
  firstAdministrator: z.boolean().describe('nobody exists yet: the one-time code of the console makes the first'),
  device: z.string().nullable().describe('this browser is a device at a rig, on which a PIN is enough'),
});
const BROWSER_S = 180 * 86_400;

/** Signing in, asking who one is, signing out. */
export function sessionRoutes(api: Api, context: ApiContext): void {
  const { accounts, cookies, signIn, openId, firstAdministrator, isDemo } = context;
  api.post('/session', { config: { permission: 'anyone', rateLimit: { max: 60, timeWindow: 60_000 } }, schema: { summary: 'Sign in', body: credentials, response: { 200: identity } } }, async (request, reply) => {
    const { name, password, pin, code } = request.body;
    if ((password === undefined) === (pin === undefined)) throw new ProblemError(400, 'Bad request', 'expected a password or a PIN');
    const caller = await toCaller(request, context);
    if (pin !== undefined && !caller.device) throw new ProblemError(400, 'Bad request', 'a PIN is enough on a device at the rig only: sign in with your password');
    const result = await signIn.try({ name, password, pin, code }, caller);
    if (!result.ok) throw refusal(result, reply);
    await endOld(request);
    return answer(request, reply, result, name);
  });
  api.get('/session', { config: { permission: 'anyone' }, schema: { summary: 'Who is signed in', response: { 200: identity } } }, (request) => {
    if (!request.identity) throw notSignedIn();
    const { name, role, sites, watchOnly = false } = request.identity;
    return { name, role, sites: sites && [...sites], watchOnly };
  });
  api.delete('/session', { config: { permission: 'anyone' }, schema: { summary: 'Sign out', response: { 204: z.null() } } }, async (request, reply) => {
    await endOld(request);
    clearOwnCookie(request, reply, cookies.session);
    clearOwnCookie(request, reply, cookies.wall);
    return reply.code(204).send(null);
  });

  api.post('/one-time-code', { config: { permission: 'anyone', rateLimit: { max: 10, timeWindow: 60_000 } }, schema: { summary: 'Choose a password with the code of an administrator; then sign in with it', body: z.strictObject({ name: z.string().max(64), code: z.string().max(40), password: z.string().max(200) }), response: { 204: z.null() } } }, async (request, reply) => {
    const { name, code, password } = request.body;
    const redeemed = await accounts.codes.redeem(name, code, password, request.ip);
    if (!redeemed.ok && redeemed.why === 'wait') throw refusal(redeemed, reply);
    if (!redeemed.ok) throw new ProblemError(403, 'Not allowed', 'this is not the code for that name, or it is used up: ask an administrator for a new one');
    return reply.code(204).send(null);
  });

  api.get('/ways-in', { config: { permission: 'anyone' }, schema: { summary: 'How one can sign in on this browser', response: { 200: waysIn } } }, async (request) => ({
    demo: isDemo,
    openId: openId?.name ?? null,
    firstAdministrator: await firstAdministrator.isOpen(),
    device: (await toCaller(request, context)).device?.name ?? null,
  }));

  /** Ends the session that this browser holds. */
  async function endOld(request: FastifyRequest): Promise<void> {
    const secret = cookieOf(request.headers, cookies.session);
    const held = secret === null ? null : await accounts.sessions.identity(secret);
    if (held) await accounts.sessions.end(held.key.replace(/^session /, ''), { ...doerOf(request), by: held.name }, 'signed-out');
  }

  async function answer(request: FastifyRequest, reply: FastifyReply, signedIn: Extract<SignInResult, { ok: true }>, name: string): Promise<z.infer<typeof identity>> {
    setSignedIn(request, reply, cookies, signedIn);
    const held = await accounts.sessions.identity(signedIn.secret);
    return { name, role: signedIn.role, sites: held?.sites ? [...held.sites] : null, watchOnly: signedIn.watchOnly };
  }
}

/** The cookies of a new session. */
export function setSignedIn(request: FastifyRequest, reply: FastifyReply, cookies: ApiContext['cookies'], { secret, maxAgeS, browser }: Extract<SignInResult, { ok: true }>): void {
  setOwnCookie(request, reply, cookies.session, secret, maxAgeS);
  setOwnCookie(request, reply, cookies.browser, browser, BROWSER_S);
}

export async function toCaller(request: FastifyRequest, { accounts, cookies }: Pick<ApiContext, 'accounts' | 'cookies'>): Promise<Caller> {
  const device = cookieOf(request.headers, cookies.device);
  return {
    address: request.ip,
    agent: request.headers['user-agent'] ?? '',
    browser: cookieOf(request.headers, cookies.browser),
    device: device === null ? null : await accounts.screens.find('device', device),
  };
}

function refusal(result: Extract<SignInResult, { ok: false }>, reply: FastifyReply): ProblemError {
  if (result.why === 'wait') {
    const seconds = Math.ceil(result.waitMs / 1000);
    reply.header('retry-after', seconds);
    return new ProblemError(429, 'Too many tries', `too many wrong ones: try again in ${seconds} s. Pages that are open and wall screens go on showing alarms`);
  }
  if (result.why === 'busy') return new ProblemError(503, 'Busy', 'too many people are signing in at once: try again in a moment');
  if (result.why === 'code-needed') return new ProblemError(401, 'Code needed', 'give the code of your authenticator app', 'code-needed');
  return new ProblemError(401, 'Not signed in', 'name or password is wrong');
}
