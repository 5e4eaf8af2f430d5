import { randomUUID } from 'node:crypto';
import type { SiteConfig } from '../domain/shift/site-config.ts';
import type { ArrivingTopic } from '../domain/wire/gateway-report.ts';
import type { Clock } from '../host/clock.ts';
import type { Log } from '../host/log.ts';
import { Arriving } from './arriving.ts';
import { DeviceAccounts } from './broker/device-accounts.ts';
import { startEmbeddedBroker } from './broker/embedded-broker.ts';
import { connectMqttSource } from './broker/mqtt-source.ts';
import { IntakeMemory } from './intake-memory.ts';
import { type Message, takeIn } from './take-in.ts';
import { TopicMap } from './topic-map.ts';

export interface DryRun {
  readonly mqttUrl: string;
  /** What was heard so far, and the configured points that heard nothing. */
  found(): { readonly topics: ArrivingTopic[]; readonly silent: string[] };
  stop(): Promise<void>;
}

export interface DryRunOptions {
  readonly config: SiteConfig;
  readonly mqttPort: number;
  readonly devicesFile: string;
  readonly clock: Clock;
  readonly log: Log;
}

/** Listens to everything there is and says what each message would become. Nothing is stored: at the embedded broker senders are told all the same that it was. */
export async function startDryRun(options: DryRunOptions): Promise<DryRun> {
  const { config, clock, log } = options;
  const topics = new TopicMap(config);
  const memory = new IntakeMemory();
  const arriving = new Arriving();
  const heard = new Set<string>();
  const take = (message: Message): Promise<void> => {
    const taken = takeIn(topics, message, clock.nowMs(), memory);
    arriving.note(message, taken, clock.nowMs());
    for (const { owner, point } of taken.readings) heard.add(`${owner}/${point}`);
    return Promise.resolve();
  };
  const configured = [{ id: config.site.id, points: config.points }, ...config.compressors, ...config.rigs].flatMap(({ id, points }) => Object.entries(points).map(([point, { topic }]) => ({ key: `${id}/${point}`, topic })));
  const found: DryRun['found'] = () => ({ topics: arriving.list(), silent: configured.filter(({ key }) => !heard.has(key)).map(({ key, topic }) => `${key} (${topic})`) });
  if (config.mqtt) {
    const source = connectMqttSource({ broker: config.mqtt, clientId: `potside-look-${randomUUID().slice(0, 8)}`, filters: ['#'], keepsSession: false, take, onConnected: () => undefined, log });
    return { mqttUrl: config.mqtt.url, found, stop: () => source.stop() };
  }
  const broker = await startEmbeddedBroker({ port: options.mqttPort, site: config.site.id, take, log, accounts: new DeviceAccounts(options.devicesFile), listen: config.listen });
  return { mqttUrl: `mqtt://127.0.0.1:${broker.port}`, found, stop: () => broker.stop() };
}
