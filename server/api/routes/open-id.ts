import { z } from 'zod';
import { cookieOf } from '../../access/identify.ts';
import { type Api, type ApiContext } from '../context.ts';
import { notFound, ProblemError } from '../problem-error.ts';
import { setSignedIn, toCaller } from './session.ts';

const LIMIT = { max: 30, timeWindow: 60_000 };

/** Signing in through the company's own provider, where one is configured. */
export function openIdRoutes(api: Api, context: ApiContext): void {
  const { openId, cookies, signIn } = context;
  api.get('/open-id', { config: { permission: 'anyone' }, schema: { summary: 'Is there a company sign-in?', response: { 200: z.object({ name: z.string().nullable() }) } } }, () => ({ name: openId?.name ?? null }));
  api.get('/open-id/start', { config: { permission: 'anyone', rateLimit: LIMIT }, schema: { summary: 'To the provider' } }, async (request, reply) => {
    if (!openId) throw notFound('company sign-in');
    const { url, tie, maxAgeS } = await openId.start().catch((error: unknown) => {
      request.log.error({ err: error }, 'the sign-in provider can’t be reached');
      throw new ProblemError(503, 'Unavailable', 'the company’s sign-in can’t be reached: sign in with a password, or try again');
    });
    // Lax: the way back is a link from the provider's page.
    reply.setCookie(cookies.tie, tie, { path: '/api/open-id', httpOnly: true, sameSite: 'lax', secure: request.protocol === 'https', maxAge: maxAgeS });
    return reply.redirect(url, 303);
  });
  api.get('/open-id/back', { config: { permission: 'anyone', rateLimit: LIMIT }, schema: { summary: 'Back from the provider' } }, async (request, reply) => {
    if (!openId) throw notFound('company sign-in');
    reply.clearCookie(cookies.tie, { path: '/api/open-id' });
    const came = await openId.back(request.url.split('?')[1] ?? '', cookieOf(request.headers, cookies.tie)).catch((error: unknown) => {
      request.log.warn({ err: error }, 'an answer of the sign-in provider did not hold');
      return { refusal: 'the provider’s answer did not hold' };
    });
    if ('refusal' in came) throw new ProblemError(403, 'Not allowed', came.refusal);
    setSignedIn(request, reply, cookies, await signIn.open(came.person, await toCaller(request, context), 'open-id'));
    return reply.redirect('/', 303);
  });
}
