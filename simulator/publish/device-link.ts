import mqtt, { type MqttClient } from 'mqtt';
import { type DeviceMessage, bytesOf } from '../devices/device.ts';
import { backOffMs, type Pace } from '../../host/back-off.ts';
import { pause } from './pause.ts';

/** A site's devices are wanted back soon after the broker is. */
const PACE: Pace = { firstMs: 250, longestMs: 15_000 };

/** Where devices publish to. */
export interface BrokerAddress {
  readonly mqttUrl: string;
  readonly username?: string;
  readonly password?: string;
  /** PEM of the authority to trust, with mqtts. */
  readonly ca?: Buffer;
}

/** What of an address the MQTT client is told beside its URL. */
export function loginOf({ username, password, ca }: BrokerAddress): { username?: string; password?: string; ca?: Buffer } {
  return { ...(username === undefined ? {} : { username }), ...(password === undefined ? {} : { password }), ...(ca === undefined ? {} : { ca }) };
}

/** One device's own MQTT client. It keeps what the broker has not acknowledged and sends it again, oldest first. */
export interface DeviceLink {
  send(message: DeviceMessage): void;
  /** Messages that the broker has not acknowledged. */
  waiting(): number;
  /** Ends the connection; what is still unsent is dropped. */
  close(): Promise<void>;
}

/** A small logger's memory: an hour at one message a second. Beyond it the oldest go. */
const KEEPS = 3600;
/** Unacknowledged at a time. */
const IN_FLIGHT = 16;
const CONNECT_TIMEOUT_MS = 5000;
/** A link that lasted this long starts again from the shortest pause. */
const PROVEN_AFTER_MS = 30_000;

interface LinkOptions {
  readonly address: BrokerAddress;
  readonly clientId: string;
  readonly onError: (error: Error) => void;
  readonly random: () => number;
  readonly nowMs: () => number;
}

/** Starts to connect at once and goes on until closed. */
export function openDeviceLink(options: LinkOptions): DeviceLink {
  const waiting: DeviceMessage[] = [];
  const ended = new AbortController();
  let client: MqttClient | undefined;
  let inFlight = 0;

  function pump(): void {
    while (client?.connected && inFlight < Math.min(IN_FLIGHT, waiting.length)) publish(client, waiting[inFlight] as DeviceMessage);
  }

  function publish(current: MqttClient, message: DeviceMessage): void {
    inFlight += 1;
    current.publish(message.topic, bytesOf(message), { qos: 1 }, (error) => {
      // An answer to a connection that is gone says nothing: its messages are sent again.
      if (error || current !== client) return;
      const place = waiting.indexOf(message);
      if (place >= 0) waiting.splice(place, 1);
      inFlight -= 1;
      pump();
    });
  }

  async function stayConnected(): Promise<void> {
    let failures = 0;
    while (!ended.signal.aborted) {
      const openedMs = options.nowMs();
      await connection();
      failures = options.nowMs() - openedMs > PROVEN_AFTER_MS ? 0 : failures + 1;
      await pause(backOffMs(failures, options.random(), PACE), ended.signal);
    }
  }

  /** One connection from its opening to its end. */
  function connection(): Promise<void> {
    const { mqttUrl } = options.address;
    // No reconnecting of its own: its fixed period would bring all devices back at one instant.
    const current = mqtt.connect(mqttUrl, { ...loginOf(options.address), clientId: options.clientId, protocolVersion: 4, clean: true, reconnectPeriod: 0, connectTimeout: CONNECT_TIMEOUT_MS, queueQoSZero: false });
    return new Promise((resolve) => {
      const leave = (): void => void current.end(true);
      ended.signal.addEventListener('abort', leave);
      current.on('error', options.onError);
      current.on('connect', () => {
        client = current;
        pump();
      });
      current.on('close', () => {
        if (client === current) {
          client = undefined;
          inFlight = 0;
        }
        ended.signal.removeEventListener('abort', leave);
        current.end(true);
        resolve();
      });
    });
  }

  const finished = stayConnected();
  return {
    send(message) {
      waiting.push(message);
      if (waiting.length > KEEPS) waiting.splice(inFlight, 1);
      pump();
    },
    waiting: () => waiting.length,
    close() {
      ended.abort();
      return finished;
    },
  };
}
