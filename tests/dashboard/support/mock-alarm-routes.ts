import type { FastifyInstance } from 'fastify';
import type { LiveAlarm } from '../../../domain/wire/live.ts';
import { fabricatedJournal, fabricatedMetrics } from './fabricated-journal.ts';

export interface SentOrder {
  readonly id: string;
  readonly order: string;
  readonly body: Readonly<Record<string, unknown>>;
  readonly key: string | null;
}

export interface MockAlarms {
  alarms(): readonly LiveAlarm[];
  change(id: string, change: (alarm: LiveAlarm) => LiveAlarm): void;
  readonly orders: SentOrder[];
}

/** As much of what the server does with an alarm as a page can see. */
export function mockAlarmRoutes(app: FastifyInstance, { alarms, change, orders }: MockAlarms): void {
  app.post<{ Params: { id: string; order: string }; Body: Record<string, unknown> }>('/api/alarms/:id/:order', async (request, reply) => {
    const { id, order } = request.params;
    const key = request.headers['idempotency-key'];
    orders.push({ id, order, body: request.body, key: typeof key === 'string' ? key : null });
    const isStillThere = alarms().find((a) => a.id === id)?.clearedAtMs === null;
    if (order === 'reset' && isStillThere) return reply.code(409).send({ type: 'about:blank', title: 'Still present', status: 409, detail: 'CO is still above 5 ppm.' });
    change(id, (a) => carryOut(a, order, request.body));
    return {};
  });
  app.get<{ Querystring: { limit: string; cursor?: string; rig?: string; alarm?: string } }>('/api/journal', async (request) => {
    const { rig, alarm, cursor } = request.query;
    const all = fabricatedJournal(Date.now()).filter((e) => (rig === undefined || e.rig === rig) && (alarm === undefined || e.detail['alarm'] === alarm));
    const from = Number(cursor ?? 0);
    const to = from + Number(request.query.limit);
    return { items: all.slice(from, to), next: to < all.length ? String(to) : null };
  });
  app.get<{ Querystring: { from: string; to: string } }>('/api/alarms/metrics', async (request) => ({ items: [fabricatedMetrics(Date.parse(request.query.from), Date.parse(request.query.to))], next: null }));
}

function carryOut(alarm: LiveAlarm, order: string, body: Readonly<Record<string, unknown>>): LiveAlarm {
  const now = Date.now();
  switch (order) {
    case 'acknowledge':
      return { ...alarm, state: alarm.state === 'latched-unacknowledged' ? 'latched-acknowledged' : 'acknowledged', acknowledgedAtMs: now, acknowledgedBy: 'casey', silencedAtRig: body['atRig'] === true };
    case 'confirm-out':
      return { ...alarm, out: 'confirmed', outConfirmedAtMs: now, outConfirmedBy: 'casey' };
    case 'shelve':
      return { ...alarm, state: 'shelved', shelved: { untilMs: now + Number(body['minutes']) * 60_000, by: 'casey', reason: String(body['reason']), text: String(body['text']), approvedBy: null } };
    case 'unshelve':
      return { ...alarm, state: 'unacknowledged', shelved: null };
    default:
      return { ...alarm, state: 'normal' };
  }
}
