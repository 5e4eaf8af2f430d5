import { z } from 'zod';
import { SESSION_COOKIE, sessionOf } from '../../access/identify.ts';
import { TOKEN_ROLES } from '../../access/role.ts';
import type { Api, ApiContext } from '../context.ts';
import { notSignedIn, ProblemError } from '../problem-error.ts';

const identity = z.object({ name: z.string(), role: z.enum(TOKEN_ROLES) });

/** Signing in, asking who one is, signing out. */
export function sessionRoutes(api: Api, { accounts }: ApiContext): void {
  api.post('/session', { schema: { summary: 'Sign in', body: z.strictObject({ name: z.string().max(64), password: z.string().max(200) }), response: { 200: identity } } }, async (request, reply) => {
    const signedIn = await accounts.signIn(request.body.name, request.body.password);
    if (!signedIn) throw new ProblemError(401, 'Not signed in', 'name or password is wrong');
    const isSecure = request.protocol === 'https';
    reply.setCookie(SESSION_COOKIE, signedIn.session, { path: '/', httpOnly: true, sameSite: 'strict', secure: isSecure, maxAge: signedIn.maxAgeS });
    return signedIn.identity;
  });
  api.get('/session', { schema: { summary: 'Who is signed in', response: { 200: identity } } }, (request) => {
    if (!request.identity) throw notSignedIn();
    return request.identity;
  });
  api.delete('/session', { schema: { summary: 'Sign out', response: { 204: z.null() } } }, async (request, reply) => {
    const session = sessionOf(request.headers);
    if (session !== null) accounts.signOut(session);
    return reply.clearCookie(SESSION_COOKIE, { path: '/' }).code(204).send(null);
  });
}
