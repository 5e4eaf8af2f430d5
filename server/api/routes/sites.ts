import { z } from 'zod';
import { QUALITY_REASONS } from '../../../domain/points/reading.ts';
import { describePoint } from '../../live/describe.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findRig } from '../find-rig.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const shift = z.object({ id: z.string(), rig: z.string(), startedAt: rfc3339, startedBy: z.string() });
const rig = z.object({
  id: z.string(),
  name: z.string(),
  site: z.string(),
  compressor: z.string().nullable(),
  vesselRating: z.number().nullable().describe('psi, gauge'),
  wanted: z.array(z.number()).nullable().describe('wanted nozzle pressure, psi gauge: low and high'),
  built: z.string(),
  shift: shift.nullable(),
});
const site = z.object({ id: z.string(), name: z.string(), zone: z.string(), demo: z.boolean(), replay: z.string().nullable().describe('the recorded shift that is played again; null where readings are of now'), recording: z.boolean() });
const point = z.object({
  id: z.string(),
  rig: z.string(),
  owner: z.string().describe('rig, compressor or site it belongs to'),
  value: z.number().nullable(),
  unit: z.string().describe('UCUM; pressures are gauge unless the point says absolute'),
  quality: z.enum(['good', 'uncertain', 'bad']),
  reason: z.enum(QUALITY_REASONS).nullable(),
  at: rfc3339.nullable(),
  ageMs: z.number().nullable(),
  margin: z.object({ limit: z.number(), side: z.enum(['high', 'low']), distance: z.number() }).nullable(),
});

/** Sites, rigs and the newest of every point a rig shows, its compressor's and its site's included. */
export function siteRoutes(api: Api, context: ApiContext): void {
  const { hub, writers, clock } = context;
  api.get('/sites', { config: { permission: 'watch' }, schema: { summary: 'Sites', response: { 200: listOf(site) } } }, (request) => {
    need(request, 'watch');
    return { items: hub.sites().map(({ id, name, zone, demo, replay, recording }) => ({ id, name, zone, demo, replay, recording })), next: null };
  });
  api.get('/rigs', { config: { permission: 'watch' }, schema: { summary: 'Rigs', response: { 200: listOf(rig) } } }, (request) => {
    need(request, 'watch');
    const rigs = hub.sites().flatMap((described) => described.rigs);
    const items = rigs.map(({ shift: open, wanted, ...rest }) => ({
      ...rest,
      wanted: wanted ? [...wanted] : null,
      shift: open ? { id: open.id, rig: open.rig, startedBy: open.startedBy, startedAt: new Date(open.startedAtMs).toISOString() } : null,
    }));
    return { items, next: null };
  });
  api.get('/rigs/:rig/points', { config: { permission: 'watch' }, schema: { summary: 'The newest of every point of a rig', params: z.object({ rig: z.string() }), response: { 200: listOf(point) } } }, (request) => {
    need(request, 'watch');
    const { writer, owner } = findRig(writers, request.params.rig);
    const now = clock.nowMs();
    const points = [...writer.state.points()].filter((held) => owner.sees.includes(held.owner));
    const items = points.map((held) => {
      const { id, atMs, ...rest } = describePoint(writer.state, held);
      return { id, rig: owner.id, ...rest, at: atMs === null ? null : new Date(atMs).toISOString(), ageMs: atMs === null ? null : Math.max(0, now - atMs) };
    });
    return { items, next: null };
  });
}
