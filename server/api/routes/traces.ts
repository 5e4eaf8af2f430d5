import { z } from 'zod';
import { staleAfterMs } from '../../../domain/site/point-state.ts';
import type { Owner } from '../../../domain/site/topology.ts';
import type { Site } from '../../intake/site.ts';
import { readTrace } from '../../record/read-trace.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findRig } from '../find-rig.ts';
import { notFound, ProblemError } from '../problem-error.ts';
import { instant } from '../shapes.ts';

const column = z.array(z.number().nullable());
const erased = z.object({ fromMs: z.number(), toMs: z.number(), atMs: z.number(), by: z.string() }).describe('erased when its time to be kept was over');
const trace = z.object({
  fromMs: z.number(),
  toMs: z.number(),
  series: z.array(z.object({ owner: z.string(), id: z.string(), unit: z.string(), atMs: z.array(z.number()), min: column, max: column, late: z.array(z.boolean()).describe('something in this pixel came late'), erased: z.array(erased) })),
});

const query = z.object({
  points: z.string().describe('point ids, separated by commas'),
  from: instant.optional(),
  to: instant.optional(),
  width: z.coerce.number().int().min(10).max(4000).default(1000).describe('pixels to fill'),
});

/** The longest stretch that is read at once. */
const MAX_STRETCH_MS = 31 * 24 * 3_600_000;

/** History as it is drawn: the lowest and highest of each pixel. */
export function traceRoutes(api: Api, context: ApiContext): void {
  const { store, writers, clock } = context;
  api.get('/rigs/:rig/trace', { config: { permission: 'watch' }, schema: { summary: 'History of a rig’s points', params: z.object({ rig: z.string() }), querystring: query, response: { 200: trace } } }, (request) => {
    need(request, 'watch');
    const { writer, owner } = findRig(writers, request.params.rig);
    const toMs = request.query.to ?? clock.nowMs();
    return drawTrace(context, writer, owner, { ...request.query, fromMs: request.query.from ?? toMs - 4 * 3_600_000, toMs });
  });
  api.get('/shifts/:id/trace', { config: { permission: 'watch' }, schema: { summary: 'History of a shift', params: z.object({ id: z.string() }), querystring: query, response: { 200: trace } } }, async (request) => {
    need(request, 'watch');
    const found = await store.shift(request.params.id);
    if (!found) throw notFound(`shift ${JSON.stringify(request.params.id)}`);
    const { writer, owner } = findRig(writers, found.shift.rig);
    const fromMs = request.query.from ?? found.shift.startedAtMs;
    return drawTrace(context, writer, owner, { ...request.query, fromMs, toMs: request.query.to ?? found.shift.endedAtMs ?? clock.nowMs() });
  });
}

interface Asked {
  readonly points: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly width: number;
}

function drawTrace({ store }: ApiContext, writer: Site, owner: Owner, { points, fromMs, toMs, width }: Asked): Promise<z.infer<typeof trace>> {
  if (fromMs >= toMs) throw new ProblemError(400, 'Bad request', 'from: expected an instant before "to"');
  if (toMs - fromMs > MAX_STRETCH_MS) throw new ProblemError(400, 'Bad request', 'from: expected at most 31 days before "to"');
  const wanted = [...new Set(points.split(','))].map((id) => {
    const held = owner.sees.map((seen) => writer.state.point(seen, id)).find((point) => point !== undefined);
    if (!held) throw notFound(`point ${JSON.stringify(id)} on rig ${owner.id}`);
    return { owner: held.owner, id, unit: held.kind.unit, gapMs: staleAfterMs(held.kind, held.everyMs) };
  });
  return readTrace(store, writer.siteId, wanted, { fromMs, toMs, width }) as Promise<z.infer<typeof trace>>;
}
