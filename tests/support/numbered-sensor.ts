import { join } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';
import { openSqlite } from '../../host/open-sqlite.ts';

type Login = { readonly username?: string; readonly password?: string };

export interface NumberedSensor {
  readonly client: MqttClient;
  /** Times of the readings that the broker acknowledged so far. */
  readonly acknowledged: readonly number[];
  /** Sends no more, and waits for the last acknowledgement. */
  stop(): Promise<void>;
  /** Sends all of them once more, as a sensor may that keeps its last readings. */
  sendAgain(): Promise<void>;
}

const POINT = 'supply-pressure';
const EVERY_MS = 50;

/** A sensor of a rig of pier 9's that speaks MQTT 5 and tells the time of each reading, QoS 1. */
export async function numberedSensor(url: string, rig: string, login: Login = {}): Promise<NumberedSensor> {
  const client = await connectV5(url, `sensor-${rig}`, login);
  const acknowledged: number[] = [];
  const sent: { readonly atMs: number; readonly message: string }[] = [];
  const underWay: Promise<unknown>[] = [];
  const publish = (message: string): Promise<unknown> => client.publishAsync(`potside/pier-9/${rig}/${POINT}`, message, { qos: 1 });
  const timer = setInterval(() => {
    // Some while ago: a time that equals the receipt is taken for none.
    const atMs = Math.max(Date.now() - 40, (sent.at(-1)?.atMs ?? 0) + 1);
    const message = JSON.stringify({ v: 100 + (sent.length % 50) / 10, t: atMs / 1000 });
    sent.push({ atMs, message });
    underWay.push(publish(message).then(() => acknowledged.push(atMs)));
  }, EVERY_MS);
  onTestFinished(() => clearInterval(timer));
  return {
    client,
    acknowledged,
    stop: async () => {
      clearInterval(timer);
      await Promise.all(underWay);
    },
    sendAgain: async () => void (await Promise.all(sent.map(({ message }) => publish(message)))),
  };
}

/** A client that speaks MQTT 5. Ended with the test. */
export async function connectV5(url: string, clientId: string, login: Login = {}): Promise<MqttClient> {
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
