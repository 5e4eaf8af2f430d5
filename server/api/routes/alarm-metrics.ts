import { z } from 'zod';
import { alarmMetrics } from '../../../domain/alarms/metrics.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findRig } from '../find-rig.ts';
import { ProblemError } from '../problem-error.ts';
import { instant, rfc3339 } from '../shapes.ts';

const DAY_MS = 86_400_000;
/** What still stands from before is looked for so far back. */
const LOOK_BACK_MS = 30 * DAY_MS;
const LONGEST_MS = 400 * DAY_MS;

const named = z.object({ name: z.string(), owner: z.string() });
const share = z.number().min(0).describe('share, 0 to 1');
const metrics = z.object({
  site: z.string(),
  rig: z.string().nullable(),
  from: rfc3339,
  to: rfc3339,
  annunciated: z.number(),
  perDay: z.number(),
  perHour: z.number(),
  perTenMin: z.number(),
  peakTenMin: z.number().describe('target: 10 or fewer'),
  peakHour: z.number(),
  peakMinute: z.number(),
  busySlots: share.describe('share of ten-minute slots with more than 10; target under 0.01'),
  floods: z.number(),
  inFlood: share.describe('share of the time in a flood; target under 0.01'),
  byPriority: z.object({ critical: z.number(), high: z.number(), medium: z.number(), low: z.number() }),
  mostFrequent: z.array(named.extend({ count: z.number() })),
  topTenShare: share,
  chattering: z.array(named.extend({ activations: z.number() })).describe('target: none'),
  stale: z.array(named.extend({ id: z.string(), since: rfc3339 })).describe('active over 24 h; target fewer than 5'),
  acknowledged: z.number(),
  medianToAcknowledgeMs: z.number().nullable(),
  slowestToAcknowledgeMs: z.number().nullable(),
  shelved: z.number(),
  outOfService: z.number(),
});

const query = z.object({
  from: instant.optional().describe('RFC 3339 with its offset; without it a day back'),
  to: instant.optional().describe('RFC 3339 with its offset; without it now'),
  rig: z.string().max(40).optional().describe('without it the whole site'),
  site: z.string().max(40).optional(),
});

/** How well the alarms themselves do, over any period, for each site or for one rig. */
export function alarmMetricsRoutes(api: Api, context: ApiContext): void {
  api.get('/alarms/metrics', { config: { permission: 'watch' }, schema: { summary: 'Performance of the alarms by ISA-18.2 and EEMUA 191', querystring: query, response: { 200: z.object({ items: z.array(metrics), next: z.null() }) } } }, async (request) => {
    need(request, 'watch');
    const toMs = request.query.to ?? context.clock.nowMs();
    const fromMs = request.query.from ?? toMs - DAY_MS;
    if (fromMs >= toMs) throw new ProblemError(400, 'Bad request', 'from: expected a time before to');
    if (toMs - fromMs > LONGEST_MS) throw new ProblemError(400, 'Bad request', 'from: expected at most 400 days before to');
    const { rig, site } = request.query;
    const writers = rig === undefined ? [...context.writers.values()] : [findRig(context.writers, rig).writer];
    const items = await Promise.all(writers
      .filter(({ siteId }) => site === undefined || siteId === site)
      .map(async (writer) => {
        const records = (await context.store.alarmMoves(writer.siteId, fromMs - LOOK_BACK_MS, toMs)).filter(({ owner }) => rig === undefined || owner === rig);
        const { stale, fromMs: _from, toMs: _to, ...rest } = alarmMetrics(records, fromMs, toMs, writer.state.config?.flood);
        return {
          site: writer.siteId,
          rig: rig ?? null,
          from: new Date(fromMs).toISOString(),
          to: new Date(toMs).toISOString(),
          ...rest,
          mostFrequent: [...rest.mostFrequent],
          chattering: [...rest.chattering],
          stale: stale.map(({ sinceMs, ...one }) => ({ ...one, since: new Date(sinceMs).toISOString() })),
        };
      }));
    return { items, next: null };
  });
}
