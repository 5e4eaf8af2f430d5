import { z } from 'zod';
import { PAYLOAD_FORMS } from '../../../domain/shift/site-config.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { notFound } from '../problem-error.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const params = z.object({ site: z.string().max(40) });
const arriving = z.object({
  topic: z.string(),
  count: z.number().describe('messages since the gateway started'),
  perMinute: z.number(),
  at: rfc3339.describe('of the newest'),
  sample: z.string().describe('the newest, its first bytes'),
  bytes: z.number(),
  form: z.enum([...PAYLOAD_FORMS, 'other']).describe('what the payload looks like; a guess'),
  fields: z.array(z.object({ at: z.string(), value: z.string() })).optional().describe('what the newest holds: JSON Pointers or SenML names, with their values'),
  feeds: z.array(z.string()).describe('<owner>/<point>; empty where it is not mapped'),
  trouble: z.string().nullable().describe('why the newest was set aside'),
});
const gateway = z.object({
  gateway: z.string(),
  heardAt: rfc3339,
  connected: z.boolean().describe('to the broker'),
  messages: z.number(),
  waiting: z.number().describe('readings that at least one server has not committed'),
  missing: z.number().describe('readings of its ranges that this server never got'),
  outbox: z.object({ filled: z.number(), dropped: z.number(), givenUp: z.number(), writable: z.boolean() }),
  uplinks: z.array(z.object({ name: z.string(), connected: z.boolean(), waiting: z.number(), trouble: z.string().nullable(), certificateUntil: rfc3339.nullable(), tokenUntil: rfc3339.nullable().describe('when this gateway’s token ends'), setAside: z.number().describe('readings kept at the gateway because this server would not take them'), setAsideWhy: z.string().nullable() })),
});

function timeOf(ms: number | null): string | null {
  return ms === null ? null : new Date(ms).toISOString();
}

/** How the gateway of a site is, and what it hears: the way to set up a sensor. */
export function gatewayRoutes(api: Api, context: ApiContext): void {
  const heard = async (site: string) => {
    if (!context.writers.has(site)) throw notFound(`site ${JSON.stringify(site)}`);
    const found = await context.heard(site);
    if (!found) throw notFound('gateway that was heard of since the start');
    return found;
  };
  api.get('/sites/:site/gateway', { config: { permission: 'see-refusals' }, schema: { summary: 'How the gateway is', params, response: { 200: gateway } } }, async (request) => {
    need(request, 'see-refusals');
    const { site } = request.params;
    const { report, heardAtMs } = await heard(site);
    const missing = (context.writers.get(site)?.cursors() ?? []).filter((cursor) => cursor.gateway === report.gateway).reduce((sum, cursor) => sum + cursor.missing, 0);
    const uplinks = report.uplinks.map(({ certificateUntilMs, tokenUntilMs, ...rest }) => ({ ...rest, certificateUntil: timeOf(certificateUntilMs), tokenUntil: timeOf(tokenUntilMs) }));
    return { gateway: report.gateway, heardAt: new Date(heardAtMs).toISOString(), connected: report.connected, messages: report.messages, waiting: report.waiting, missing, outbox: report.outbox, uplinks };
  });
  api.get('/sites/:site/arriving', { config: { permission: 'see-refusals' }, schema: { summary: 'What is arriving, by topic: mapped or not, and to what', params, response: { 200: listOf(arriving) } } }, async (request) => {
    need(request, 'see-refusals');
    const { report } = await heard(request.params.site);
    return { items: report.arriving.map(({ lastAtMs, ...rest }) => ({ ...rest, at: new Date(lastAtMs).toISOString() })), next: null };
  });
}
