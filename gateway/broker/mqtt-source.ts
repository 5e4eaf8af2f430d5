import { hostname } from 'node:os';
import type { Writable } from 'node:stream';
import type { BrokerConfig } from '../../domain/shift/site-config.ts';
import type { Log } from '../../host/log.ts';
import { backOffMs, type Pace } from '../../host/back-off.ts';
import { brokerClient } from '../../host/broker-client.ts';
import type { Command } from '../decode/decoded-message.ts';
import type { TakeMessage } from './embedded-broker.ts';

export interface MqttSource {
  isConnected(): boolean;
  publish(command: Command): void;
  /** Listens to these from now on, and no longer to what is not among them. */
  listen(filters: readonly string[]): void;
  stop(): Promise<void>;
}

const KEEPALIVE_S = 30;
const CONNECT_TIMEOUT_MS = 10_000;
const PACE: Pace = { firstMs: 100, longestMs: 30_000 };
/** Messages on their way to the disk at most; from there on the broker has to wait. */
const MAX_UNDER_WAY = 1_000;

/**
 * Readings from a broker that is not ours. MQTT.js hands the next message over once the one before is acknowledged: each would wait for
 * a disk of its own. So it is told to go on at once and not to acknowledge, and PUBACK is sent here, in the order of receipt (MQTT 3.1.1
 * §4.6), once the message is on disk. When the disk refuses, the connection is dropped and the broker sends again.
 * Reconnecting is ours too: the library's is at a fixed pace, without jitter. Where there are more brokers, the next one has its turn.
 */
export function connectMqttSource(options: { broker: BrokerConfig; clientId: string; filters: readonly string[]; /** False for who only looks: no queue is left behind at the broker. */ keepsSession?: boolean; take: TakeMessage; onConnected: () => void; log: Log }): MqttSource {
  const { broker, log } = options;
  const link = brokerClient(broker.url, broker, { clean: options.keepsSession === false, clientId: options.clientId, keepalive: KEEPALIVE_S, connectTimeout: CONNECT_TIMEOUT_MS });
  const { client } = link;
  let failures = 0;
  let stopped = false;
  let filters = options.filters;
  /** The broker whose session has these filters; another's may have those of an earlier time. */
  let subscribedAt: string | null = null;
  /** The connection was dropped for a fault of ours: what was not acknowledged is at the broker where it came from. */
  let isOurFault = false;
  let retry: NodeJS.Timeout | null = null;

  const goOn: (() => void)[] = [];
  let underWay = 0;
  client.handleMessage = (packet, done) => {
    const { topic, payload, retain, qos, messageId } = packet;
    const { stream } = client;
    const bytes = typeof payload === 'string' ? Buffer.from(payload) : payload;
    underWay += 1;
    const next = (): void => done(UNACKNOWLEDGED);
    if (underWay < MAX_UNDER_WAY) next();
    else goOn.push(next);
    options
      .take({ topic, payload: bytes, retained: retain })
      .then(
        () => {
          // An identifier holds for its connection only: on the next one it may be another message's.
          if (qos === 1 && messageId !== undefined && stream === client.stream && !stream.destroyed) acknowledge(stream, messageId);
        },
        (error: unknown) => {
          log.error({ err: error, topic }, 'a message could not be put on disk; the connection is dropped so that the broker sends it again');
          isOurFault ||= stream === client.stream && client.connected;
          stream.destroy();
        },
      )
      .finally(() => {
        underWay -= 1;
        goOn.shift()?.();
      });
  };
  client.on('connect', (connack) => {
    failures = 0;
    log.info({ broker: link.url(), resumed: connack.sessionPresent }, 'connected to the MQTT broker');
    // A kept session holds the topics of an earlier configuration: the first time they are always said anew.
    if (connack.sessionPresent && subscribedAt === link.url()) return options.onConnected();
    client.subscribe([...filters], { qos: 1 }, (error) => {
      if (error) {
        log.error({ err: error }, 'the broker refused the subscription');
        client.stream.destroy();
        return;
      }
      subscribedAt = link.url();
      options.onConnected();
    });
  });
  client.on('error', (error) => log.warn({ broker: link.url(), reason: error.message }, 'MQTT connection in trouble'));
  client.on('close', () => {
    if (stopped || retry) return;
    failures += 1;
    const waitMs = backOffMs(failures, Math.random(), PACE);
    log.warn({ broker: link.url(), waitMs, from: hostname() }, 'no connection to the MQTT broker; trying again');
    if (!isOurFault) link.turn();
    isOurFault = false;
    retry = setTimeout(() => {
      retry = null;
      client.reconnect();
    }, waitMs);
  });
  client.connect();
  return {
    isConnected: () => client.connected,
    publish: ({ topic, payload }) => {
      // Not stored for later: by then there is something else to ask.
      if (client.connected) client.publish(topic, Buffer.from(payload), { qos: 0, retain: false });
    },
    listen: (next) => {
      const [gone, added] = [filters.filter((filter) => !next.includes(filter)), next.filter((filter) => !filters.includes(filter))];
      filters = next;
      if (gone.length === 0 && added.length === 0) return;
      // Without a connection the next one says all of them anew.
      if (!client.connected) {
        subscribedAt = null;
        return;
      }
      const told = (error: unknown): void => {
        if (!error) return;
        log.error({ err: error }, 'the broker refused a change of the subscription');
        subscribedAt = null;
        client.stream.destroy();
      };
      if (gone.length > 0) client.unsubscribe([...gone], {}, told);
      if (added.length > 0) client.subscribe([...added], { qos: 1 }, told);
    },
    stop: async () => {
      stopped = true;
      if (retry) clearTimeout(retry);
      await client.endAsync(true);
    },
  };
}

/** MQTT.js passes over the acknowledgement of what it was told is none, and goes on. */
const UNACKNOWLEDGED = new Error('acknowledged once it is on disk');
const PUBACK = 0x40;

/** PUBACK, MQTT 3.1.1 §3.4; those of one commit leave together. */
function acknowledge(stream: Writable, messageId: number): void {
  stream.cork();
  stream.write(Buffer.from([PUBACK, 2, messageId >> 8, messageId & 0xff]));
  setImmediate(() => stream.uncork());
}
