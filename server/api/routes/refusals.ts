import { z } from 'zod';
import { REFUSAL_REASONS } from '../../../domain/wire/refusal.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { notFound } from '../problem-error.ts';
import { rfc3339 } from '../shapes.ts';

const refusals = z.object({
  items: z.array(z.object({ at: rfc3339, topic: z.string(), reason: z.enum(REFUSAL_REASONS), detail: z.string(), sample: z.string(), bytes: z.number() })),
  next: z.null(),
  counts: z.record(z.string(), z.number()).describe('since the gateway started, by reason'),
});

/** Messages that were set aside, with the reason: the way to find out why a sensor does not show. */
export function refusalRoutes(api: Api, context: ApiContext): void {
  api.get('/refusals', { config: { permission: 'see-refusals' }, schema: { summary: 'The last hundred messages set aside, newest first', response: { 200: refusals } } }, async (request) => {
    need(request, 'see-refusals');
    const held = context.refusals() ?? (await told(context));
    if (!held) throw notFound('gateway that was heard of since the start');
    return { items: held.latest.map(({ atMs, ...rest }) => ({ at: new Date(atMs).toISOString(), ...rest })), next: null, counts: { ...held.counts } };
  });
}

/** Of gateways elsewhere: what they told last, of the sites of whoever asks. */
async function told({ writers, heard }: ApiContext): Promise<ReturnType<ApiContext['refusals']>> {
  const reports = (await Promise.all([...writers.keys()].map(heard))).flatMap((one) => one?.report.refusals ?? []);
  if (reports.length === 0) return null;
  const counts: Record<string, number> = {};
  for (const [reason, count] of reports.flatMap((report) => Object.entries(report.counts))) counts[reason] = (counts[reason] ?? 0) + count;
  return { latest: reports.flatMap(({ latest }) => latest).sort((a, b) => b.atMs - a.atMs).slice(0, 100), counts };
}
