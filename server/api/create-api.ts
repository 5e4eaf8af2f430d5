import { existsSync } from 'node:fs';
import fastifyCookie from '@fastify/cookie';
import fastifyRateLimit from '@fastify/rate-limit';
import fastifySwagger from '@fastify/swagger';
import Fastify, { type FastifyError, LogController } from 'fastify';
import { hasZodFastifySchemaValidationErrors, jsonSchemaTransform, serializerCompiler, validatorCompiler, type ZodTypeProvider } from 'fastify-type-provider-zod';
import type { Problem } from '../../domain/wire/problem.ts';
import type { Log } from '../../host/log.ts';
import { UserError } from '../../host/user-error.ts';
import type { Api, ApiContext } from './context.ts';
import { type GuardedRoute, guardRoutes } from './guard-routes.ts';
import { takeJson } from './take-json.ts';
import { limitConnections } from './limit-connections.ts';
import { ProblemError } from './problem-error.ts';
import { alarmMetricsRoutes } from './routes/alarm-metrics.ts';
import { accountRoutes } from './routes/account.ts';
import { alarmRoutes } from './routes/alarms.ts';
import { auditRoutes } from './routes/audit.ts';
import { firstAdministratorRoutes } from './routes/first-administrator.ts';
import { demonstrationRoutes } from './routes/demonstration.ts';
import { drillRoutes } from './routes/drills.ts';
import { dueRoutes } from './routes/due.ts';
import { gatewayRoutes } from './routes/gateways.ts';
import { journalRoutes } from './routes/journal.ts';
import { noticeRoutes } from './routes/notices.ts';
import { openIdRoutes } from './routes/open-id.ts';
import { peopleRoutes } from './routes/people.ts';
import { screenRoutes } from './routes/screens.ts';
import { observabilityRoutes } from './routes/observability.ts';
import { readinessRoutes } from './routes/readiness.ts';
import { refusalRoutes } from './routes/refusals.ts';
import { holdRoutes } from './routes/hold.ts';
import { rejudgeRoutes } from './routes/rejudge.ts';
import { rigActionRoutes } from './routes/rig-actions.ts';
import { sensorCheckRoutes } from './routes/sensor-checks.ts';
import { sessionRoutes } from './routes/session.ts';
import { shiftAdditionRoutes } from './routes/shift-additions.ts';
import { shiftExportRoutes } from './routes/shift-exports.ts';
import { shiftRoutes } from './routes/shifts.ts';
import { settingsRoutes } from './routes/settings.ts';
import { siteRoutes } from './routes/sites.ts';
import { traceRoutes } from './routes/traces.ts';
import { underHoodRoutes } from './routes/under-hood.ts';
import { gatewayReportRoutes, uplinkRoutes } from './routes/uplink.ts';
import { SECURITY_HEADERS } from './security-headers.ts';
import { servePage } from './serve-page.ts';

const REQUEST_TIMEOUT_MS = 15_000;
const CONNECTION_TIMEOUT_MS = 30_000;
/** Short, so that closing waits seconds and not minutes for idle connections. */
const KEEP_ALIVE_MS = 5_000;
const HEADERS_TIMEOUT_MS = 10_000;
/** How often Node looks for requests that drip; its own default lets one stay for half a minute more. */
const CHECK_CONNECTIONS_MS = 2_000;
const MAX_BODY_BYTES = 256 * 1024;
/** A page at work asks for far less; what asks for more is told to wait. */
const REQUESTS_PER_MINUTE = 1_200;

/** PEM of the server's certificate, with its chain, and of its key. */
export interface Tls {
  readonly cert: string;
  readonly key: string;
}

export interface ApiOptions {
  readonly log: Log;
  readonly dashboardDir: string;
  /** Null: in clear, on loopback or behind a proxy. */
  readonly tls?: Tls | null;
  /** Addresses of the proxies whose X-Forwarded-* headers are believed; null: none. */
  readonly trustProxy?: readonly string[] | null;
  /** Requests a minute of one session, token or address. */
  readonly requestsPerMinute?: number;
}

/** Builds the HTTP server without listening: the API, its description, and the dashboard's files. Answers with the table of its routes too. */
export async function createApi(context: ApiContext, options: ApiOptions): Promise<{ app: Api; routes: readonly GuardedRoute[] }> {
  const app = Fastify({
    ...(options.tls ? { https: { ...options.tls, minVersion: 'TLSv1.2' } } : {}),
    loggerInstance: options.log,
    logController: new LogController({ disableRequestLogging: true }),
    requestTimeout: REQUEST_TIMEOUT_MS,
    connectionTimeout: CONNECTION_TIMEOUT_MS,
    keepAliveTimeout: KEEP_ALIVE_MS,
    bodyLimit: MAX_BODY_BYTES,
    trustProxy: options.trustProxy ? [...options.trustProxy] : false,
    http: { headersTimeout: HEADERS_TIMEOUT_MS, connectionsCheckingInterval: CHECK_CONNECTIONS_MS },
    routerOptions: { maxParamLength: 100 },
  }).withTypeProvider<ZodTypeProvider>() as unknown as Api;
  app.setValidatorCompiler(validatorCompiler);
  app.setSerializerCompiler(serializerCompiler);
  // JSON only: a form or plain text body is how a foreign page gets one past the browser's checks.
  app.removeContentTypeParser('text/plain');
  takeJson(app);
  app.setErrorHandler((error: FastifyError | ProblemError | UserError, request, reply) => {
    const problem = toProblem(error);
    if (problem.status >= 500) request.log.error({ err: error, url: request.url }, 'a request failed');
    return reply.code(problem.status).type('application/problem+json').send(JSON.stringify(problem));
  });
  app.addHook('onSend', async (request, reply) => {
    reply.headers(SECURITY_HEADERS);
    if (request.protocol === 'https') reply.header('strict-transport-security', 'max-age=31536000');
    if (request.url.startsWith('/api') && !reply.hasHeader('cache-control')) reply.header('cache-control', 'no-store');
  });
  const { routes } = guardRoutes(app, context);
  limitConnections(app.server, Boolean(options.trustProxy));
  await app.register(fastifyCookie);
  await app.register(fastifyRateLimit, {
    max: options.requestsPerMinute ?? REQUESTS_PER_MINUTE,
    timeWindow: 60_000,
    keyGenerator: (request) => request.identity?.key ?? request.ip,
    errorResponseBuilder: (_request, { after }) => new ProblemError(429, 'Too many requests', `too many requests: try again in ${after}`),
  });
  await app.register(fastifySwagger, {
    openapi: {
      info: { title: 'Potside', version: context.version, description: 'Watches an abrasive-blasting air line. It monitors and advises; it controls nothing and replaces no CO alarm, deadman or competent person.' },
      components: { securitySchemes: { bearer: { type: 'http', scheme: 'bearer' }, session: { type: 'apiKey', in: 'cookie', name: context.cookies.session } } },
      security: [{ bearer: [] }, { session: [] }],
    },
    transform: jsonSchemaTransform,
  });
  await app.register(
    async (api) => {
      // A part adds its routes; each names its permission, or the server does not start.
      const parts = [sessionRoutes, firstAdministratorRoutes, openIdRoutes, accountRoutes, peopleRoutes, screenRoutes, auditRoutes, noticeRoutes, siteRoutes, alarmRoutes, alarmMetricsRoutes, rigActionRoutes, readinessRoutes, drillRoutes, journalRoutes, shiftRoutes, shiftAdditionRoutes, shiftExportRoutes, traceRoutes, rejudgeRoutes, holdRoutes, refusalRoutes, underHoodRoutes, observabilityRoutes];
      for (const add of [...parts, uplinkRoutes, gatewayReportRoutes, gatewayRoutes, dueRoutes, sensorCheckRoutes, settingsRoutes, demonstrationRoutes]) add(api, context);
      api.get('/openapi.json', { config: { permission: 'anyone' }, schema: { hide: true } }, () => app.swagger());
      api.setNotFoundHandler((request, reply) => reply.code(404).type('application/problem+json').send(JSON.stringify(new ProblemError(404, 'Not found', `there is no ${request.method} ${request.url.split('?')[0] ?? ''}`).toProblem())));
    },
    { prefix: '/api' },
  );
  if (existsSync(options.dashboardDir)) await servePage(app, options.dashboardDir);
  return { app, routes };
}

function toProblem(error: FastifyError | ProblemError | UserError): Problem {
  if (error instanceof ProblemError) return error.toProblem();
  if (error instanceof UserError) return { type: 'about:blank', title: 'Bad request', status: 400, detail: error.message };
  if (hasZodFastifySchemaValidationErrors(error)) {
    const errors = error.validation.map((issue) => ({ field: issue.instancePath.replace(/^\//, '').replaceAll('/', '.') || 'body', found: '', expected: issue.message ?? '' }));
    return { type: 'about:blank', title: 'Bad request', status: 400, detail: errors.map((issue) => `${issue.field}: ${issue.expected}`).join('; '), errors };
  }
  const status = error.statusCode ?? 500;
  if (status >= 500) return { type: 'about:blank', title: 'Our fault', status: 500, detail: 'something went wrong here; the log says what' };
  return { type: 'about:blank', title: status === 415 ? 'Unsupported media type' : 'Bad request', status, detail: error.message };
}
