import { collectDefaultMetrics, Gauge, Registry } from 'prom-client';
import { z } from 'zod';
import type { GatewayReport } from '../../../domain/wire/gateway-report.ts';
import { type Api, type ApiContext, need } from '../context.ts';

const health = z.object({ status: z.enum(['ok', 'not-recording']), version: z.string() });
const ready = z.object({ ready: z.boolean(), sites: z.number(), gateway: z.object({ connected: z.boolean(), waiting: z.number(), messages: z.number() }).nullable() });

/** Whether it lives, whether it can work, and its numbers in Prometheus text. */
export function observabilityRoutes(api: Api, context: ApiContext): void {
  const { isRecording } = context;
  api.get('/health', { config: { permission: 'anyone' }, schema: { summary: 'Alive and recording?', response: { 200: health, 503: health } } }, async (_request, reply) => {
    const recording = isRecording();
    return reply.code(recording ? 200 : 503).send({ status: recording ? 'ok' : 'not-recording', version: context.version });
  });
  api.get('/ready', { config: { permission: 'anyone' }, schema: { summary: 'Able to take readings?', response: { 200: ready, 503: ready } } }, async (_request, reply) => {
    const gateway = context.gatewayStatus();
    const sites = context.sitesConfigured();
    const isReady = sites > 0 && isRecording() && gateway?.connected !== false;
    return reply.code(isReady ? 200 : 503).send({ ready: isReady, sites, gateway });
  });
  const registry = createRegistry(context, isRecording);
  api.get('/metrics', { config: { permission: 'watch' }, schema: { summary: 'Prometheus metrics' } }, async (request, reply) => {
    need(request, 'watch');
    return reply.type(registry.contentType).send(await registry.metrics());
  });
}

function createRegistry(context: ApiContext, isRecording: () => boolean): Registry {
  const registry = new Registry();
  collectDefaultMetrics({ register: registry });
  const gauge = (name: string, help: string, read: () => number | Promise<number>): void => {
    new Gauge({ name, help, registers: [registry], async collect() { this.set(await read()); } });
  };
  gauge('potside_recording', '1 while commits succeed', () => (isRecording() ? 1 : 0));
  gauge('potside_pages_connected', 'Dashboards connected', () => context.pagesConnected());
  gauge('potside_outbox_waiting_readings', 'Readings on the gateway’s disk not yet committed', () => context.gatewayStatus()?.waiting ?? 0);
  gauge('potside_messages_total', 'MQTT messages heard since the start', () => context.gatewayStatus()?.messages ?? 0);
  gauge('potside_standing_alarms', 'Alarms that stand', () => [...context.writers.values()].reduce((sum, writer) => sum + [...writer.state.alarms()].filter((alarm) => alarm.track.occurrence).length, 0));
  const { notices, untold } = context.notify;
  gauge('potside_notices_waiting', 'Messages to people that wait to be handed over', async () => (await notices.count('waiting')) + (await notices.count('sending')));
  gauge('potside_notices_dead', 'Messages to people that could not be handed over in time, of all time', () => notices.count('dead'));
  gauge('potside_sites_untold', 'Sites on which an alarm stands that nobody was told of in time', () => [...context.writers.keys()].filter((site) => untold(site) !== null).length);
  // Of every gateway that told of itself; what is counted since its outbox was made never goes back.
  const perSite = (name: string, help: string, read: (report: GatewayReport) => number): void => {
    new Gauge({
      name,
      help,
      labelNames: ['site'],
      registers: [registry],
      collect() {
        for (const site of context.writers.keys()) {
          const heard = context.gateways.of(site);
          if (heard) this.set({ site }, read(heard.report));
        }
      },
    });
  };
  perSite('potside_outbox_filled_ratio', 'Share of the room for waiting readings that is taken', ({ outbox }) => outbox.filled);
  perSite('potside_outbox_dropped_readings_total', 'Readings no server had that went for want of room', ({ outbox }) => outbox.dropped);
  perSite('potside_outbox_given_up_readings_total', 'Readings that one server had and another never got, for want of room', ({ outbox }) => outbox.givenUp);
  perSite('potside_set_aside_readings_total', 'Readings kept at the gateway because a server would not take them', ({ uplinks }) => uplinks.reduce((sum, one) => sum + one.setAside, 0));
  perSite('potside_refused_values_total', 'Messages and values set aside at the gateway since it started', ({ refusals }) => Object.values(refusals.counts).reduce((sum, one) => sum + one, 0));
  perSite('potside_gateway_end_seconds', 'Unix time when the first certificate or token of the gateway’s uplinks ends; +Inf where none does', ({ uplinks }) =>
    Math.min(...uplinks.flatMap(({ certificateUntilMs, tokenUntilMs }) => [certificateUntilMs, tokenUntilMs].filter((ms) => ms !== null))) / 1000,
  );
  return registry;
}
