import { z } from 'zod';
import { CHANGED } from '../../settings/settings.ts';
import { type Api, type ApiContext, doerOf, need } from '../context.ts';
import { notFound, ProblemError } from '../problem-error.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const params = z.object({ site: z.string().max(40) });
const document = z.record(z.string(), z.unknown()).describe('what site.yaml holds, as written: quantities with their unit');
const held = z.object({
  file: z.string(),
  version: z.string().describe('names this text; a change says which one it is of'),
  text: z.string(),
  document: document.nullable().describe('null where the text is no YAML'),
  trouble: z.string().nullable().describe('what is wrong with the file as it stands'),
  inForce: z.boolean().describe('false where the file was changed by hand since it was read'),
});
const change = z
  .strictObject({
    version: z.string().max(80),
    why: z.string().trim().min(1, 'expected the reason').max(1000),
    document: document.optional(),
    text: z.string().max(200_000).optional(),
  })
  .refine((body) => (body.document === undefined) !== (body.text === undefined), 'expected either document or text');
const takesHold = z.enum(['now', 'restarting', 'next-start']).describe('restarting: the parts start anew by themselves, within seconds; next-start: somebody has to start the program anew');
const field = z.object({ field: z.string(), at: rfc3339, by: z.string(), old: z.unknown(), new: z.unknown(), why: z.string().nullable() });

/** How the settings in the code's words stand in the file. */
const FILE_WORDS: Readonly<Record<string, string>> = { onDelayMs: 'on-delay', offDelayMs: 'off-delay', autoAcknowledge: 'auto-acknowledge', startsAbove: 'starts-above', endsBelow: 'ends-below', windowMs: 'window' };
const SAME_DEED_MS = 10_000;

/** The configuration file, read and written over the network. */
export function settingsRoutes(api: Api, context: ApiContext): void {
  const { settings, accounts, writers } = context;
  const known = (site: string): string => {
    if (!writers.has(site)) throw notFound(`site ${JSON.stringify(site)}`);
    return site;
  };
  api.get('/sites/:site/settings', { config: { permission: 'see-settings' }, schema: { summary: 'The site’s configuration file', params, response: { 200: held } } }, async (request, reply) => {
    need(request, 'see-settings');
    const { isInForce, ...found } = await settings.held(known(request.params.site));
    void reply.header('etag', `"${found.version}"`);
    return { ...found, inForce: isInForce };
  });
  api.put('/sites/:site/settings', { config: { permission: 'change-settings' }, schema: { summary: 'Write the configuration file and put it into force; comments in it stay', params, body: change, response: { 200: z.object({ version: z.string(), takesHold }) } } }, (request) => {
    need(request, 'change-settings');
    const { version, why, document: fields, text } = request.body;
    return settings.change(known(request.params.site), { version, why, to: text === undefined ? { document: fields } : { text } }, doerOf(request));
  });
  api.get('/sites/:site/settings/changes', { config: { permission: 'see-settings' }, schema: { summary: 'Who changed which field of the configuration, newest first', params, response: { 200: listOf(field) } } }, async (request) => {
    need(request, 'see-settings');
    const find = (what: string) => accounts.trail.find({ site: known(request.params.site), what, sites: null, limit: 500 });
    const written = await find(CHANGED);
    // What was changed in the file here stands in the trail a second time, as what it meant for the alarms.
    const others = (await find('setting-changed'))
      // At a site's first configuration the law and the flood stand where they are shipped: nobody changed them.
      .filter(({ old, subject }) => old !== null || !/^(regime|flood)/.test(subject ?? ''))
      .filter(({ atMs, by }) => !written.some((one) => one.by === by && Math.abs(one.atMs - atMs) < SAME_DEED_MS))
      .map((row) => ({ ...row, subject: fieldOf(row.subject ?? '') }));
    const rows = [...written, ...others].toSorted((a, b) => b.seq - a.seq);
    return { items: rows.map(({ subject, atMs, by, old, new: now, why }) => ({ field: subject ?? '', at: new Date(atMs).toISOString(), by, old, new: now, why })), next: null };
  });

  api.post('/sites/:site/arriving/look', { config: { permission: 'change-settings' }, schema: { summary: 'Hear topics that nobody mapped for the next minute, at a broker that is not ours', params, response: { 200: z.object({ looking: z.boolean().describe('false where the gateway is elsewhere') }) } } }, (request) => {
    need(request, 'change-settings');
    const site = known(request.params.site);
    context.lookAround?.(site);
    return { looking: context.lookAround !== undefined };
  });

  api.get('/first-site', { config: { permission: 'change-settings' }, schema: { summary: 'Is this server still without a site? Then where the first one’s file will be', response: { 200: z.object({ open: z.boolean(), file: z.string().nullable() }) } } }, (request) => {
    need(request, 'change-settings');
    return { open: settings.first !== null, file: settings.first?.path ?? null };
  });
  api.post('/first-site', { config: { permission: 'change-settings' }, schema: { summary: 'Write the first site’s file and start with it', body: z.strictObject({ document }), response: { 201: z.object({ takesHold }) } } }, async (request, reply) => {
    // A site that does not exist yet is in nobody's reach but theirs who may see all.
    if (need(request, 'change-settings').sites !== null) throw new ProblemError(403, 'Not allowed', 'your reach is some sites only: a new one is made by somebody who may see all');
    return reply.code(201).send({ takesHold: await settings.create(request.body.document, doerOf(request)) });
  });
}

/** `nozzle-pressure-low onDelayMs` → `alarms.nozzle-pressure-low.on-delay`. */
function fieldOf(setting: string): string {
  const [group = '', name] = setting.split(' ');
  if (name === undefined) return group;
  return [...(group === 'flood' ? [] : ['alarms']), group, FILE_WORDS[name] ?? name].join('.');
}
