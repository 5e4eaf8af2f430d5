import { join } from 'node:path';
import type { SiteConfig } from '../domain/shift/site-config.ts';
import { beaconTopic } from '../domain/wire/beacon.ts';
import type { GatewayReport } from '../domain/wire/gateway-report.ts';
import type { Clock } from '../host/clock.ts';
import type { Log } from '../host/log.ts';
import { Arriving } from './arriving.ts';
import { DeviceAccounts } from './broker/device-accounts.ts';
import { type BrokerLogin, startEmbeddedBroker } from './broker/embedded-broker.ts';
import { connectMqttSource } from './broker/mqtt-source.ts';
import { endWarnings } from './warn-ends.ts';
import type { Command } from './decode/decoded-message.ts';
import { LookAround } from './look-around.ts';
import { IntakeMemory } from './intake-memory.ts';
import { openSqliteOutbox } from './outbox/sqlite-outbox.ts';
import { ReplayGate } from './replay-gate.ts';
import { Refusals } from './refusals.ts';
import { takeIn, type Message } from './take-in.ts';
import { TopicMap } from './topic-map.ts';
import { Uplink, type UplinkStatus, type UplinkTarget } from './uplink/uplink.ts';

const REPORT_EVERY_MS = 5_000;

export interface Gateway {
  /** Where sensors publish. */
  readonly mqttUrl: string;
  /** Where devices of other machines publish to the embedded broker; null where they can't. */
  readonly mqttsUrl: string | null;
  /** For the beacon at the embedded broker; null where the broker is elsewhere. */
  readonly login: BrokerLogin | null;
  readonly refusals: Refusals;
  /** Takes over another configuration of the same site, all but the broker and the uplinks: points, topics, training. */
  configure(config: SiteConfig): void;
  /** Hears topics that nobody mapped for a minute, where the broker is elsewhere; the embedded one hears them anyway. */
  lookAround(): void;
  status(): GatewayStatus;
  report(): GatewayReport;
  stop(): Promise<void>;
}

export interface GatewayStatus {
  readonly connected: boolean;
  /** Readings on disk that at least one server has not committed. */
  readonly waiting: number;
  /** Messages heard since the start. */
  readonly messages: number;
  readonly uplinks: readonly UplinkStatus[];
}

export interface GatewayOptions {
  readonly config: SiteConfig;
  readonly dataDir: string;
  readonly mqttPort: number;
  /** Makes the gateway's clock, given the newest time already in the outbox. */
  readonly makeClock: (notBeforeMs: number) => Clock;
  readonly log: Log;
  /** Told the shift that is played again on a training site, null when that is over. */
  readonly onReplay?: (record: string | null) => void;
  /** Servers that each get every reading. */
  readonly uplinks: readonly UplinkTarget[];
}

/** In the data directory: the readings that wait. */
export const OUTBOX_FILE = 'outbox.db';
/** In the data directory: the devices that may connect to the embedded broker. */
export const DEVICES_FILE = 'devices.json';

/** Opens the outbox, the uplink and the way in, in that order: nothing is heard before it can be kept. */
export async function startGateway(options: GatewayOptions): Promise<Gateway> {
  const { log } = options;
  let { config } = options;
  const outbox = openSqliteOutbox(join(options.dataDir, OUTBOX_FILE), { uplinks: options.uplinks.map(({ name }) => name), log });
  const clock = options.makeClock(outbox.newestAtMs());
  const refusals = new Refusals();
  let topics = new TopicMap(config);
  const memory = new IntakeMemory();
  const arriving = new Arriving();
  // A broker sends again what was put on disk but not acknowledged before the end: that must be known from the run before.
  memory.seen.add(outbox.seen());
  let way: WayIn | null = null;
  let messages = 0;
  const newGate = (): ReplayGate => new ReplayGate({ config, onReplay: options.onReplay ?? (() => undefined), answer: (command) => way?.publish(command) });
  let gate = newGate();
  const take = (message: Message): Promise<void> => {
    messages += 1;
    // A message without readings goes through the queue too, so that acknowledgements leave in order.
    const passage = gate.check(message);
    if (passage === 'mine') return outbox.put([]);
    if (passage === 'refused') {
      refusals.add({ atMs: clock.nowMs(), topic: message.topic.slice(0, 256), reason: 'replayed', detail: 'found a reading of a replay, expected real ones: this site is not for training', sample: '', bytes: message.payload.byteLength });
      return outbox.put([]);
    }
    const nowMs = clock.nowMs();
    const taken = takeIn(topics, message, nowMs, memory);
    arriving.note(message, taken, nowMs);
    for (const refusal of taken.refusals) {
      refusals.add(refusal);
      log.warn({ topic: refusal.topic, reason: refusal.reason, detail: refusal.detail, bytes: refusal.bytes }, 'message set aside');
    }
    for (const command of taken.commands) way?.publish(command);
    memory.seen.add(taken.readings);
    return outbox.put(taken.readings).catch((error: unknown) => {
      memory.seen.remove(taken.readings);
      throw error;
    });
  };
  const uplinks = options.uplinks.map((target) => new Uplink({ outbox, target, site: config.site.id, clock, log }));
  const stopUplinks = (): Promise<unknown> => Promise.all(uplinks.map((uplink) => uplink.stop()));
  try {
    const opened = await openWayIn(options, () => topics, outbox.gateway, take, () => memory.resume(topics.sparkplugNodes(), clock.nowMs()));
    way = opened;
    // What is mapped comes in by the front door too: only the rest is news.
    const isUnknown = ({ topic }: Message): boolean => topics.targets(topic).length === 0 && topics.sparkplug(topic) === null && topic !== beaconTopic(config.site.id);
    const around = config.mqtt && new LookAround({ broker: config.mqtt, log, note: (message) => isUnknown(message) && arriving.note(message, { readings: [], refusals: [], commands: [] }, clock.nowMs()) });
    const status = (): GatewayStatus => ({ connected: opened.isConnected(), waiting: outbox.waiting(), messages, uplinks: uplinks.map((uplink) => uplink.status()) });
    const report = (): GatewayReport => ({
      ...status(),
      uplinks: uplinks.map((uplink) => uplink.status()),
      gateway: outbox.gateway,
      epoch: outbox.epoch,
      atMs: clock.nowMs(),
      wallDriftMs: clock.wallDriftMs(),
      outbox: outbox.status(),
      refusals: { latest: refusals.latest(), counts: refusals.counts() },
      arriving: arriving.list(),
    });
    const warn = endWarnings(log);
    const reporting = startReporting(options.uplinks, config.site.id, () => {
      warn(status().uplinks, clock.nowMs());
      return report();
    }, log);
    return {
      mqttUrl: opened.mqttUrl,
      mqttsUrl: opened.mqttsUrl,
      login: opened.login,
      refusals,
      lookAround: () => around?.look(),
      configure: (next) => {
        const known = new Set(topics.sparkplugNodes());
        const isOther = next.site.training !== config.site.training;
        config = next;
        if (isOther) gate = newGate();
        topics = new TopicMap(next);
        opened.listen(topics.filters());
        // Edge nodes that are new here have told their names before anybody listened.
        for (const command of memory.resume(topics.sparkplugNodes().filter((node) => !known.has(node)), clock.nowMs())) opened.publish(command);
      },
      status,
      report,
      stop: async () => {
        clearInterval(reporting);
        await around?.stop();
        await opened.stop();
        await stopUplinks();
        await outbox.close();
      },
    };
  } catch (error) {
    await stopUplinks();
    await outbox.close();
    throw error;
  }
}

/** Servers elsewhere are told how the gateway is; what is not told now is told a few seconds later. */
function startReporting(targets: readonly UplinkTarget[], site: string, report: () => GatewayReport, log: Log): NodeJS.Timeout {
  const busy = new Set<UplinkTarget>();
  const timer = setInterval(() => {
    for (const target of targets) {
      if (!target.report || busy.has(target)) continue;
      busy.add(target);
      target
        .report(site, report())
        .catch((error: unknown) => log.debug({ err: error, uplink: target.name }, 'the server could not be told how the gateway is'))
        .finally(() => busy.delete(target));
    }
  }, REPORT_EVERY_MS);
  timer.unref();
  return timer;
}

interface WayIn {
  readonly mqttUrl: string;
  readonly mqttsUrl: string | null;
  readonly login: BrokerLogin | null;
  isConnected(): boolean;
  publish(command: Command): void;
  /** Subscribes to these at a broker that is not ours. */
  listen(filters: readonly string[]): void;
  stop(): Promise<void>;
}

async function openWayIn(options: GatewayOptions, topics: () => TopicMap, gatewayId: string, take: (message: Message) => Promise<void>, resume: () => Command[]): Promise<WayIn> {
  const { config, log } = options;
  if (config.mqtt) {
    const source = connectMqttSource({ broker: config.mqtt, clientId: `potside-${gatewayId}`, filters: topics().filters(), take, onConnected: () => resume().forEach((command) => source.publish(command)), log });
    return { mqttUrl: config.mqtt.url, mqttsUrl: null, login: null, isConnected: () => source.isConnected(), publish: (command) => source.publish(command), listen: (filters) => source.listen(filters), stop: () => source.stop() };
  }
  const accounts = new DeviceAccounts(join(options.dataDir, DEVICES_FILE));
  const broker = await startEmbeddedBroker({ port: options.mqttPort, site: config.site.id, take, isKnown: (topic) => topics().sparkplug(topic) !== null || topics().targets(topic).length > 0, log, accounts, listen: config.listen });
  const mqttsUrl = broker.tlsPort === null ? null : `mqtts://${config.listen?.host ?? ''}:${broker.tlsPort}`;
  return { mqttUrl: `mqtt://127.0.0.1:${broker.port}`, mqttsUrl, login: broker.login, isConnected: () => true, publish: (command) => broker.publish(command), listen: () => undefined, stop: () => broker.stop() };
}
