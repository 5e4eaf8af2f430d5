import mqtt, { type MqttClient } from 'mqtt';
import type { DeviceMessage, Simulation } from '../simulation.ts';
import { bytesOf } from '../devices/device.ts';
import { type BrokerAddress, loginOf } from './device-link.ts';

/** Step of the clock, ms. */
const SECOND_MS = 1000;

/**
 * Brings a site's recent past in through the front door: second by second the clock is set, that second's messages are
 * published at QoS 1, and every acknowledgement is awaited before the next. One connection for all devices, so that a
 * second is one round trip.
 * @throws Error when the broker cannot be reached or breaks off: history with a hole is worse than none.
 */
export async function catchUp(options: BrokerAddress & {
  readonly simulation: Simulation;
  readonly fromMs: number;
  readonly toMs: number;
  readonly setClock: (ms: number) => void;
  readonly signal: AbortSignal;
}): Promise<void> {
  const { simulation, signal } = options;
  const client = await mqtt.connectAsync(options.mqttUrl, { ...loginOf(options), clientId: `${simulation.siteId}-catch-up`, protocolVersion: 4, reconnectPeriod: 0 }, false);
  const leave = (): void => void client.end(true);
  signal.addEventListener('abort', leave);
  const broken = new Promise<never>((_, reject) => client.once('close', () => reject(new Error('the broker closed the connection during catch-up'))));
  // Rejects once the client is ended below too, when nobody is listening any more.
  broken.catch(() => undefined);
  try {
    for (let atMs = options.fromMs; atMs <= options.toMs && !signal.aborted; atMs += SECOND_MS) {
      options.setClock(atMs);
      await Promise.race([publishAll(client, simulation.advanceTo(atMs)), broken]);
    }
  } catch (error) {
    if (!signal.aborted) throw error;
  } finally {
    signal.removeEventListener('abort', leave);
    await client.endAsync(true);
  }
}

async function publishAll(client: MqttClient, messages: readonly DeviceMessage[]): Promise<void> {
  await Promise.all(messages.map((message) => client.publishAsync(message.topic, bytesOf(message), { qos: 1 })));
}
