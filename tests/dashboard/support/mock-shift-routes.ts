import type { FastifyInstance } from 'fastify';
import { POINT_KINDS } from '../../../domain/points/catalogue.ts';
import type { Judged, Proposal } from '../../../dashboard/api/rejudge.ts';
import type { Shift } from '../../../dashboard/api/shift-shapes.ts';
import { type FabricatedShifts, cardOf, fabricatedShifts } from './fabricated-shifts.ts';
import { fabricatedShiftTrace } from './fabricated-shift-trace.ts';
import { fabricatedSummary } from './fabricated-summary.ts';
import { fabricatedPhoto } from './fabricated-photo.ts';
import { SITE } from './fabricated-site.ts';

/** An order to a shift or a rig, as it was sent. */
export interface ShiftOrder {
  readonly method: string;
  readonly path: string;
  readonly body: Readonly<Record<string, unknown>>;
}

export interface MockShifts extends FabricatedShifts {
  /** Oldest first. */
  readonly orders: ShiftOrder[];
  readonly proposals: Proposal[];
  /** Widths and stretches that were asked for. */
  readonly traces: { readonly shift: string; readonly fromMs: number; readonly toMs: number; readonly width: number }[];
}

interface Who {
  readonly name: string;
  readonly role: string;
}

const RECORDED = ['nozzle-pressure', 'supply-pressure', 'breathing-air-co', 'breathing-air-pressure', 'line-loss', 'steel-margin', 'air-line-dew-point', 'ambient-humidity', 'blasting'];
/** As much of the life of shifts as a page can see. */
export function mockShiftRoutes(app: FastifyInstance, who: () => Who, onRig: (rig: string, change: 'in' | 'out', name: string) => void): MockShifts {
  const made = fabricatedShifts(Date.now());
  const mock: MockShifts = { ...made, orders: [], proposals: [], traces: [] };
  const find = (id: string): Shift => {
    const shift = made.shifts.get(id);
    if (!shift) throw Object.assign(new Error('no such shift'), { statusCode: 404 });
    return shift;
  };
  const change = (id: string, part: Partial<Shift>): Shift => {
    const next = { ...find(id), ...part };
    made.shifts.set(id, next);
    return next;
  };
  type One = { Params: { id: string; photo?: string; order?: string }; Body: Record<string, unknown> };
  app.addHook('preHandler', async (request) => {
    if (request.method !== 'GET' && /^\/api\/(shifts|rigs|proposals)/.test(request.url)) mock.orders.push({ method: request.method, path: request.url, body: (Buffer.isBuffer(request.body) ? { bytes: request.body.length } : request.body) as Record<string, unknown> });
  });
  for (const type of ['image/png', 'image/jpeg']) app.addContentTypeParser(type, { parseAs: 'buffer' }, (_request, body, done) => done(null, body));

  app.get<{ Querystring: Record<string, string> }>('/api/shifts', async (request) => {
    const { rig, state, search, from, to, limit = '100', cursor = '0' } = request.query;
    const all = [...made.shifts.values()]
      .filter((one) => (rig === undefined || one.rig === rig) && (state === undefined || one.state === state) && (from === undefined || Date.parse(one.startedAt) >= Date.parse(from)) && (to === undefined || Date.parse(one.startedAt) < Date.parse(to)))
      .filter((one) => search === undefined || JSON.stringify(one).toLowerCase().includes(search.toLowerCase()))
      .sort((a, b) => b.startedAt.localeCompare(a.startedAt));
    const end = Number(cursor) + Number(limit);
    return { items: all.slice(Number(cursor), end).map((one) => cardOf(one, made.headlines.get(one.id) ?? null)), next: end < all.length ? String(end) : null };
  });
  app.get<One>('/api/shifts/:id', async (request) => find(request.params.id));
  app.get<One>('/api/shifts/:id/entries', async (request) => ({ items: made.entries.get(request.params.id) ?? [], next: null }));
  app.get<One>('/api/shifts/:id/summary', async (request) => fabricatedSummary(find(request.params.id), Date.now()));
  app.get<One & { Querystring: Record<string, string> }>('/api/shifts/:id/trace', async (request) => {
    const shift = find(request.params.id);
    const { points = '', from = shift.startedAt, to = new Date().toISOString(), width = '1000' } = request.query;
    mock.traces.push({ shift: shift.id, fromMs: Date.parse(from), toMs: Date.parse(to), width: Number(width) });
    return fabricatedShiftTrace(shift.rig, points.split(','), Date.parse(shift.startedAt), Date.parse(from), Date.parse(to), Number(width));
  });
  app.get<One>('/api/shifts/:id/photos/:photo', async (_request, reply) => reply.type('image/png').send(fabricatedPhoto()));
  app.get('/api/rigs/:rig/points', async () => ({ items: POINT_KINDS.filter((kind) => RECORDED.includes(kind.id)).map((kind) => ({ id: kind.id })), next: null }));

  app.post<One>('/api/shifts', async (request, reply) => {
    const { rig, crew = [], setup = {}, calibrations = [] } = request.body as unknown as Pick<Shift, 'rig' | 'crew' | 'setup' | 'calibrations'>;
    const shift: Shift = { ...find('shift-rig-a'), id: `quay-4-${2000 + mock.orders.length}-1`, rig, crew, setup, calibrations, startedAt: new Date().toISOString(), startedBy: who().name, handovers: [], notes: [], state: 'open', endedAt: null, endedBy: null, signOffs: [], seal: null };
    made.shifts.set(shift.id, shift);
    return reply.code(201).send(shift);
  });
  app.post('/api/shifts/:id/photos', async (_request, reply) => reply.code(201).send({ id: 'photo-2' }));
  app.put<One>('/api/shifts/:id/setup', async (request) => change(request.params.id, { setup: request.body }));
  app.post<One>('/api/shifts/:id/:order', async (request, reply) => {
    const { id, order = '' } = request.params;
    const shift = find(id);
    const [at, { name, role }, body] = [new Date().toISOString(), who(), request.body];
    switch (order) {
      case 'handover': return change(id, { handovers: [...shift.handovers, { at, by: name, to: String(body['to']), text: String(body['text']) }] });
      case 'notes': return change(id, { notes: [...shift.notes, { id: `${id}-n${shift.notes.length + 1}`, at, by: name, text: String(body['text']), placedAt: (body['placedAt'] as string | undefined) ?? at, point: null, photo: (body['photo'] as string | undefined) ?? null }] });
      case 'corrections': return change(id, { corrections: [...shift.corrections, { at, by: name, of: String(body['of']), text: String(body['text']) }] });
      case 'end': return change(id, { state: 'ended', endedAt: at, endedBy: name });
      case 'sign-off': {
        if (shift.signOffs.some((one) => one.name === name)) return reply.code(409).send({ type: 'about:blank', title: 'Conflict', status: 409, detail: 'you have signed it already' });
        const signOffs = [...shift.signOffs, { at, name, role, meaning: String(body['meaning']) }];
        return change(id, { signOffs, state: signOffs.length === 2 ? 'sealed' : 'signed-once', seal: signOffs.length === 2 ? { root: 'c0'.repeat(32), at, key: 'a41c 9e07 55d2 8b13' } : null });
      }
      case 'rejudge': return { before: judged(shift, false), after: judged(shift, true), speed: 61_000 };
      default: return reply.code(404).send({ type: 'about:blank', title: 'Not found', status: 404, detail: order });
    }
  });
  app.post<{ Params: { rig: string; order: string }; Body: Record<string, unknown> }>('/api/rigs/:rig/:order', async (request) => {
    const { rig, order } = request.params;
    if (order === 'hood-in' || order === 'hood-out') onRig(rig, order === 'hood-in' ? 'in' : 'out', String(request.body['name']));
    if (order === 'entries') {
      const list = made.entries.get(`shift-${rig}`) ?? [];
      const { kind, value = null, unit = null, place = '', text = '' } = request.body as { kind: string; value?: number; unit?: string; place?: string; text?: string };
      list.push({ id: `new-${list.length}`, at: new Date().toISOString(), by: who().name, kind, value, unit, place, text });
    }
    return { rig, underHood: [], bumpTestUntil: null };
  });
  app.get('/api/proposals', async () => ({ items: mock.proposals.toReversed(), next: null }));
  app.post<{ Body: Proposal }>('/api/proposals', async (request, reply) => {
    mock.proposals.push({ ...request.body, id: `p${mock.proposals.length + 1}`, site: SITE, at: new Date().toISOString(), by: who().name, inForce: null });
    return reply.code(201).send(mock.proposals.at(-1));
  });
  app.post<{ Params: { id: string } }>('/api/proposals/:id/put-into-force', async (request) => {
    const index = mock.proposals.findIndex((one) => one.id === request.params.id);
    mock.proposals[index] = { ...(mock.proposals[index] as Proposal), inForce: { at: new Date().toISOString(), by: who().name } };
    return mock.proposals[index];
  });
  return mock;
}

/** With other limits: fewer of one kind, one more of another. */
function judged(shift: Shift, isAfter: boolean): Judged {
  const at = (minute: number): string => new Date(Date.parse(shift.startedAt) + minute * 60_000).toISOString();
  const low = [40, 88, 110, 170, 215, 301, 350].map((minute) => ({ name: 'nozzle-pressure-low', rig: shift.rig, priority: 'medium' as const, raisedAt: at(minute), clearedAt: at(minute + (minute === 301 ? 37 : 4)), audible: true }));
  const kept = isAfter ? low.filter((one) => one.raisedAt === at(301)).map((one) => ({ ...one, raisedAt: at(301.5) })) : low;
  const alarms = [...kept, { name: 'co-high', rig: shift.rig, priority: 'critical' as const, raisedAt: at(247), clearedAt: at(255), audible: true }, ...(isAfter ? [{ name: 'supply-pressure-low', rig: shift.rig, priority: 'medium' as const, raisedAt: at(303), clearedAt: at(308), audible: true }] : [])];
  const sorted = alarms.toSorted((a, b) => a.raisedAt.localeCompare(b.raisedAt));
  return { alarms: sorted, counts: { total: alarms.length, audible: alarms.length, critical: 1, high: 0, medium: alarms.length - 1, low: 0 }, perTenMinutes: isAfter ? 2 : 3, chattering: isAfter ? 0 : 1 };
}
