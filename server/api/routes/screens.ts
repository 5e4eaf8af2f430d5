import { z } from 'zod';
import { SCREEN_KINDS } from '../../access/screens.ts';
import { setOwnCookie } from '../cookies.ts';
import { type Api, type ApiContext, doerOf } from '../context.ts';
import { notFound, ProblemError } from '../problem-error.ts';
import { instant, listOf, rfc3339 } from '../shapes.ts';

const screen = z.object({ id: z.string(), kind: z.enum(SCREEN_KINDS), name: z.string(), site: z.string(), until: rfc3339, madeBy: z.string() });
const made = z.object({ id: z.string(), path: z.string().nullable().describe('what a wall screen opens, once; null for a device, which is this browser') });
const newScreen = z.strictObject({ kind: z.enum(SCREEN_KINDS), name: z.string().max(64), site: z.string().max(32), until: instant.optional().describe('without it 90 days; a year at most') });
const SET_UP = { permission: 'set-up-screens' } as const;
const USUAL_MS = 90 * 86_400_000;

/** Screens of a site: the link that shows it on a wall, and the tablet at the rig on which a PIN is enough. */
export function screenRoutes(api: Api, { accounts, clock, cookies, writers }: ApiContext): void {
  api.get('/screens', { config: SET_UP, schema: { summary: 'Screens of your sites', response: { 200: listOf(screen) } } }, async () => ({
    items: (await accounts.screens.list()).filter(({ site }) => writers.has(site)).map(({ untilMs, ...rest }) => ({ ...rest, until: new Date(untilMs).toISOString() })),
    next: null,
  }));
  api.post('/screens', { config: SET_UP, schema: { summary: 'Make the link of a wall screen, or this browser a device at the rig', body: newScreen, response: { 201: made } } }, async (request, reply) => {
    const { kind, name, site, until } = request.body;
    if (!writers.has(site)) throw notFound(`site ${JSON.stringify(site)}`);
    const now = clock.nowMs();
    const untilMs = until ?? now + USUAL_MS;
    const { id, secret } = await accounts.screens.add(kind, name, site, untilMs, doerOf(request));
    if (kind === 'device') setOwnCookie(request, reply, cookies.device, secret, Math.floor((untilMs - now) / 1000));
    return reply.code(201).send({ id, path: kind === 'wall' ? `/api/wall/${secret}` : null });
  });
  api.delete('/screens/:id', { config: SET_UP, schema: { summary: 'Revoke one; its pages close at once', params: z.object({ id: z.string().max(40) }), response: { 204: z.null() } } }, async (request, reply) => {
    const { id } = request.params;
    const held = (await accounts.screens.list()).find((one) => one.id === id);
    if (!held || !writers.has(held.site) || !(await accounts.screens.revoke(id, doerOf(request)))) throw notFound(`screen ${JSON.stringify(id)}`);
    return reply.code(204).send(null);
  });
  api.get('/wall/:key', { config: { permission: 'anyone', rateLimit: { max: 30, timeWindow: 60_000 } }, schema: { summary: 'Open a wall screen’s link', params: z.object({ key: z.string().max(64) }) } }, async (request, reply) => {
    const held = await accounts.screens.find('wall', request.params.key);
    if (!held) throw new ProblemError(403, 'Not allowed', 'this link was revoked, or its time is over');
    setOwnCookie(request, reply, cookies.wall, request.params.key, Math.floor((held.untilMs - clock.nowMs()) / 1000));
    return reply.redirect('/', 303);
  });
}
