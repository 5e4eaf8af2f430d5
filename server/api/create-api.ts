import { existsSync } from 'node:fs';
import fastifyCookie from '@fastify/cookie';
import fastifyStatic from '@fastify/static';
import fastifySwagger from '@fastify/swagger';
import Fastify, { type FastifyError, LogController } from 'fastify';
import { hasZodFastifySchemaValidationErrors, jsonSchemaTransform, serializerCompiler, validatorCompiler, type ZodTypeProvider } from 'fastify-type-provider-zod';
import type { Problem } from '../../domain/wire/problem.ts';
import type { Log } from '../../host/log.ts';
import { identify, isOwnOrigin } from '../access/identify.ts';
import type { Api, ApiContext } from './context.ts';
import { notSignedIn, ProblemError } from './problem-error.ts';
import { alarmMetricsRoutes } from './routes/alarm-metrics.ts';
import { alarmRoutes } from './routes/alarms.ts';
import { journalRoutes } from './routes/journal.ts';
import { observabilityRoutes } from './routes/observability.ts';
import { refusalRoutes } from './routes/refusals.ts';
import { rigActionRoutes } from './routes/rig-actions.ts';
import { sessionRoutes } from './routes/session.ts';
import { shiftAdditionRoutes } from './routes/shift-additions.ts';
import { shiftRoutes } from './routes/shifts.ts';
import { siteRoutes } from './routes/sites.ts';
import { traceRoutes } from './routes/traces.ts';
import { underHoodRoutes } from './routes/under-hood.ts';
import { SECURITY_HEADERS } from './security-headers.ts';

const REQUEST_TIMEOUT_MS = 15_000;
const CONNECTION_TIMEOUT_MS = 30_000;
/** Short, so that closing waits seconds and not minutes for idle connections. */
const KEEP_ALIVE_MS = 5_000;
const MAX_BODY_BYTES = 256 * 1024;

/** Reached without signing in. */
const PUBLIC = new Set(['/api/session', '/api/health', '/api/ready', '/api/openapi.json']);

/** Builds the HTTP server without listening: the API, its description, and the dashboard's files. */
export async function createApi(context: ApiContext, options: { readonly log: Log; readonly dashboardDir: string }): Promise<Api> {
  const app = Fastify({
    loggerInstance: options.log,
    logController: new LogController({ disableRequestLogging: true }),
    requestTimeout: REQUEST_TIMEOUT_MS,
    connectionTimeout: CONNECTION_TIMEOUT_MS,
    keepAliveTimeout: KEEP_ALIVE_MS,
    bodyLimit: MAX_BODY_BYTES,
    routerOptions: { maxParamLength: 100 },
  }).withTypeProvider<ZodTypeProvider>() as unknown as Api;
  app.setValidatorCompiler(validatorCompiler);
  app.setSerializerCompiler(serializerCompiler);
  // JSON only: a form or plain text body is how a foreign page gets one past the browser's checks.
  app.removeContentTypeParser('text/plain');
  app.setErrorHandler((error: FastifyError | ProblemError, request, reply) => {
    const problem = toProblem(error);
    if (problem.status >= 500) request.log.error({ err: error, url: request.url }, 'a request failed');
    return reply.code(problem.status).type('application/problem+json').send(JSON.stringify(problem));
  });
  app.decorateRequest('identity', null);
  app.addHook('onSend', async (_request, reply) => void reply.headers(SECURITY_HEADERS));
  app.addHook('onRequest', async (request) => {
    const path = request.url.split('?')[0] ?? '';
    if (!path.startsWith('/api/')) return;
    if (request.method !== 'GET' && !isOwnOrigin(request.headers)) throw new ProblemError(403, 'Not allowed', 'this request comes from a foreign page');
    request.identity = identify(context.accounts, request.headers);
    if (!request.identity && !PUBLIC.has(path)) throw notSignedIn();
  });
  await app.register(fastifyCookie);
  await app.register(fastifySwagger, {
    openapi: {
      info: { title: 'Potside', version: context.version, description: 'Watches an abrasive-blasting air line. It monitors and advises; it controls nothing and replaces no CO alarm, deadman or competent person.' },
      components: { securitySchemes: { bearer: { type: 'http', scheme: 'bearer' }, session: { type: 'apiKey', in: 'cookie', name: 'potside_session' } } },
      security: [{ bearer: [] }, { session: [] }],
    },
    transform: jsonSchemaTransform,
  });
  await app.register(
    async (api) => {
      const routes = [sessionRoutes, siteRoutes, alarmRoutes, alarmMetricsRoutes, rigActionRoutes, journalRoutes, shiftRoutes, shiftAdditionRoutes, traceRoutes, refusalRoutes, underHoodRoutes, observabilityRoutes];
      for (const add of routes) add(api, context);
      api.get('/openapi.json', { schema: { hide: true } }, () => app.swagger());
      api.setNotFoundHandler((request, reply) => reply.code(404).type('application/problem+json').send(JSON.stringify(new ProblemError(404, 'Not found', `there is no ${request.method} ${request.url.split('?')[0] ?? ''}`).toProblem())));
    },
    { prefix: '/api' },
  );
  if (existsSync(options.dashboardDir)) await app.register(fastifyStatic, { root: options.dashboardDir, cacheControl: true, maxAge: '1h', immutable: false });
  return app;
}

function toProblem(error: FastifyError | ProblemError): Problem {
  if (error instanceof ProblemError) return error.toProblem();
  if (hasZodFastifySchemaValidationErrors(error)) {
    const errors = error.validation.map((issue) => ({ field: issue.instancePath.replace(/^\//, '').replaceAll('/', '.') || 'body', found: '', expected: issue.message ?? '' }));
    return { type: 'about:blank', title: 'Bad request', status: 400, detail: errors.map((issue) => `${issue.field}: ${issue.expected}`).join('; '), errors };
  }
  const status = error.statusCode ?? 500;
  if (status >= 500) return { type: 'about:blank', title: 'Our fault', status: 500, detail: 'something went wrong here; the log says what' };
  return { type: 'about:blank', title: status === 415 ? 'Unsupported media type' : 'Bad request', status, detail: error.message };
}
