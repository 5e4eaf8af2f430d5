import type { FastifyInstance } from 'fastify';
import { identify, isOwnOrigin } from '../access/identify.ts';
import { runWithin } from '../access/reach.ts';
import { may } from '../access/role.ts';
import type { ApiContext, RoutePermission } from './context.ts';
import { notAllowed, notSignedIn, ProblemError } from './problem-error.ts';

/** A route as it stands in the table of permissions. */
export interface GuardedRoute {
  readonly method: string;
  readonly path: string;
  readonly permission: RoutePermission;
}

const READS = ['GET', 'HEAD'];

/**
 * Denied by default: a route of the API that names no permission keeps the server from starting, one that names one is refused to
 * whoever lacks it before its body is read, and within it only the sites of whoever asks are there.
 */
export function guardRoutes(app: FastifyInstance, { accounts, cookies }: Pick<ApiContext, 'accounts' | 'cookies'>): { readonly routes: readonly GuardedRoute[] } {
  const routes: GuardedRoute[] = [];
  app.decorateRequest('identity', null);
  app.addHook('onRoute', ({ url, method, config }) => {
    if (!url.startsWith('/api/')) return;
    const permission = config?.permission;
    if (permission === undefined) throw new Error(`the route ${[method].flat().join(', ')} ${url} names no permission: add config: { permission }`);
    for (const one of [method].flat()) if (one !== 'HEAD') routes.push({ method: one, path: url, permission });
  });
  app.addHook('onRequest', async (request) => {
    const { permission } = request.routeOptions.config;
    // Judged by the route that was found: `/%61pi/sites` is one of ours too.
    if (permission === undefined && !request.url.startsWith('/api')) return;
    if (!READS.includes(request.method) && !isOwnOrigin(request.headers)) throw new ProblemError(403, 'Not allowed', 'this request comes from a foreign page');
    request.identity = await identify(accounts, cookies, request.headers);
    if (permission === 'anyone') return;
    if (!request.identity) throw notSignedIn();
    if (permission !== undefined && !may(request.identity.role, permission)) throw notAllowed(permission.replaceAll('-', ' '));
  });
  // After the body was read: reading it would lose what runs within.
  app.addHook('preValidation', (request, _reply, next) => runWithin(request.identity ? request.identity.sites : [], next));
  return { routes };
}
