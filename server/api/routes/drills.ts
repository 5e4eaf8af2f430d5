import { z } from 'zod';
import type { Site } from '../../intake/site.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { conflict, notFound, ProblemError } from '../problem-error.ts';
import { rfc3339 } from '../shapes.ts';
import { idempotency, keyOf } from './alarms.ts';

const running = z.object({ scenario: z.string(), seed: z.number(), speed: z.number(), startedAt: rfc3339, startedBy: z.string() });
const siteShape = z.object({ site: z.string(), name: z.string(), running: running.nullable() });
const params = z.object({ site: z.string().max(40) });
const start = z.strictObject({
  scenario: z.string().max(64),
  seed: z.number().int().min(0).max(Number.MAX_SAFE_INTEGER).default(1).describe('the same seed gives the same course of events'),
  speed: z.number().min(1).max(20).default(1).describe('times as fast as real; delays of alarms stay as they are'),
});

function describeSite(writer: Site): z.infer<typeof siteShape> {
  const { config, siteSituation } = writer.state;
  const { drill } = siteSituation;
  return {
    site: writer.siteId,
    name: config?.site.name ?? writer.siteId,
    running: drill && { scenario: drill.scenario, seed: drill.seed, speed: drill.speed, startedAt: new Date(drill.startedAtMs).toISOString(), startedBy: drill.startedBy },
  };
}

/** Drills on training sites: what there is to choose, what runs, starting and ending one. Both are actions in the site's log. */
export function drillRoutes(api: Api, context: ApiContext): void {
  const { writers, drills } = context;
  const findSite = (site: string): Site => {
    const writer = writers.get(site);
    if (!writer) throw notFound(`site ${JSON.stringify(site)}`);
    return writer;
  };
  api.get('/drills', { config: { permission: 'watch' }, schema: { summary: 'Scenarios to practise, and what runs on the training sites', response: { 200: z.object({ scenarios: z.array(z.object({ name: z.string(), summary: z.string() })), sites: z.array(siteShape) }) } } }, (request) => {
    need(request, 'watch');
    const sites = [...writers.values()].filter(({ state }) => state.config?.site.training);
    return { scenarios: [...(drills?.scenarios ?? [])], sites: sites.map(describeSite) };
  });
  api.post('/sites/:site/drills', { config: { permission: 'run-drill' }, schema: { summary: 'Start a drill on a training site', params, headers: idempotency, body: start, response: { 201: siteShape } } }, async (request, reply) => {
    const { name: by, role } = need(request, 'run-drill');
    const writer = findSite(request.params.site);
    const { config } = writer.state;
    const { scenario, seed, speed } = request.body;
    if (config?.site.training && !drills) throw conflict('this server has nothing that plays drills: run it as `potside serve`');
    if (drills && !drills.scenarios.some(({ name }) => name === scenario)) throw new ProblemError(400, 'Bad request', `scenario: found ${JSON.stringify(scenario)}, expected one of ${drills.scenarios.map(({ name }) => name).join(', ')}`);
    const { refusal } = await writer.act({ kind: 'start-drill', scenario, seed, speed, key: keyOf(request), by, role, from: request.ip });
    if (refusal !== null) throw conflict(refusal);
    try {
      if (config) drills?.start(config, { scenario, seed, speed });
    } catch (error) {
      await writer.act({ kind: 'end-drill', because: (error as Error).message, key: `${keyOf(request)}-failed`, by, role, from: request.ip });
      throw error;
    }
    return reply.code(201).send(describeSite(writer));
  });
  api.delete('/sites/:site/drills', { config: { permission: 'run-drill' }, schema: { summary: 'End the drill that runs on a training site', params, headers: idempotency, response: { 200: siteShape } } }, async (request) => {
    const { name: by, role } = need(request, 'run-drill');
    const writer = findSite(request.params.site);
    const { refusal } = await writer.act({ kind: 'end-drill', because: '', key: keyOf(request), by, role, from: request.ip });
    if (refusal !== null) throw conflict(refusal);
    await drills?.stop(writer.siteId);
    return describeSite(writer);
  });
}
