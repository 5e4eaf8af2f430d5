import { join } from 'node:path';
import mqtt, { type IPublishPacket, type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';
import { openSqlite } from '../../host/open-sqlite.ts';

export interface NumberedSensor {
  readonly client: MqttClient;
  /** Times of the readings that the broker acknowledged so far, in the order they were sent, with the reason code it gave. */
  readonly acknowledged: readonly { readonly atMs: number; readonly reasonCode: number }[];
  /** How many were sent so far. */
  sent(): number;
  /** Sends no more, and waits for the last acknowledgement. */
  stop(): Promise<void>;
}

export const POINT = 'supply-pressure';
const EVERY_MS = 50;

/** A sensor that speaks MQTT 5 and tells the time of each reading; no two of its readings are alike. */
export async function numberedSensor(url: string, topic: string, login: { readonly username?: string; readonly password?: string } = {}): Promise<NumberedSensor> {
  const client = await connectV5(url, `sensor-${topic.replaceAll('/', '-')}`, login);
  const acknowledged: { atMs: number; reasonCode: number }[] = [];
  const under: Promise<unknown>[] = [];
  let lastMs = 0;
  const send = (): void => {
    // Some while ago: a time that equals the receipt is taken for none.
    const atMs = Math.max(Date.now() - 40, lastMs + 1);
    lastMs = atMs;
    const message = JSON.stringify({ v: 100 + (under.length % 50) / 10, t: atMs / 1000 });
    under.push(client.publishAsync(topic, message, { qos: 1 }).then((packet) => acknowledged.push({ atMs, reasonCode: (packet as IPublishPacket & { reasonCode?: number } | undefined)?.reasonCode ?? 0 })));
  };
  const timer = setInterval(send, EVERY_MS);
  onTestFinished(() => clearInterval(timer));
  return {
    client,
    acknowledged,
    sent: () => under.length,
    stop: async () => {
      clearInterval(timer);
      await Promise.all(under);
    },
  };
}

/** A client that speaks MQTT 5. Ended with the test. */
export async function connectV5(url: string, clientId: string, login: { readonly username?: string; readonly password?: string } = {}): Promise<MqttClient> {
  const client = await mqtt.connectAsync(url, { protocolVersion: 5, clientId, ...login });
  client.on('error', () => undefined);
  onTestFinished(() => void client.end(true));
  return client;
}

/** Times of the sensor's readings in the record, as often as they are there. */
export function recordedTimes(dataDir: string, rig: string): number[] {
  const database = openSqlite(join(dataDir, 'record.db'));
  const rows = database.prepare('SELECT observed_ms FROM reading JOIN series ON series.id = reading.series WHERE owner = ? AND point = ? AND value IS NOT NULL ORDER BY observed_ms').raw().all(rig, POINT) as [number][];
  database.close();
  return rows.map(([atMs]) => atMs);
}
