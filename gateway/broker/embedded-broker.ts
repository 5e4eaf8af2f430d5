import { createServer, type Server, type Socket } from 'node:net';
import { once } from 'node:events';
import { Aedes } from 'aedes';
import type { Log } from '../../host/log.ts';
import { beaconClientId, beaconTopic } from '../../domain/wire/beacon.ts';
import { UserError } from '../../host/user-error.ts';
import type { Command } from '../decode/decoded-message.ts';
import type { Message } from '../take-in.ts';
import { UnknownTopics } from './unknown-topics.ts';

/** Takes a message in and resolves once what came of it is on the disk; the promises settle in the order of the calls. */
export type TakeMessage = (message: Message) => Promise<void>;

export interface EmbeddedBroker {
  readonly port: number;
  publish(command: Command): void;
  stop(): Promise<void>;
}

/** A subscriber that takes nothing for so long is let go: one frozen reader would hold up all. */
const DRAIN_TIMEOUT_MS = 10_000;

/**
 * The broker inside the process, MQTT 3.1.1, on loopback. aedes acknowledges QoS 1 before it stores anything, so the message is
 * taken in at its authorisation gate, which is passed before the acknowledgement: PUBACK means on disk.
 */
export async function startEmbeddedBroker(options: { port: number; site: string; take: TakeMessage; isKnown: (topic: string) => boolean; log: Log }): Promise<EmbeddedBroker> {
  const unknown = new UnknownTopics();
  const broker = await Aedes.createBroker({
    drainTimeout: DRAIN_TIMEOUT_MS,
    authorizePublish: (client, packet, done) => {
      // The beacon is the server's word: it is no reading, and nobody else may say it.
      if (packet.topic === beaconTopic(options.site)) return done(client?.id === beaconClientId(options.site) ? null : new Error('the beacon is the server’s'));
      if (client && !options.isKnown(packet.topic) && !unknown.allows(client, performance.now())) return done(new Error('too many messages on topics that nobody knows'));
      const payload = typeof packet.payload === 'string' ? Buffer.from(packet.payload) : packet.payload;
      // Here RETAIN asks the broker to keep the message; the message itself is fresh from its sender.
      options.take({ topic: packet.topic, payload, retained: false }).then(
        () => done(null),
        (error: unknown) => {
          options.log.error({ err: error, topic: packet.topic }, 'a message could not be put on disk; its sender is not told that it was');
          done(error as Error);
        },
      );
    },
  });
  broker.on('clientError', (client, error) => options.log.warn({ client: client?.id, reason: error.message }, 'an MQTT client misbehaved and was let go'));
  broker.on('connectionError', (_client, error) => options.log.warn({ reason: error.message }, 'an MQTT connection was refused'));
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.once('close', () => sockets.delete(socket));
    broker.handle(socket);
  });
  const close = (): Promise<void> => new Promise((resolve) => broker.close(() => resolve()));
  await listen(server, options.port).catch(async (error: unknown) => {
    await close();
    throw error;
  });
  const address = server.address();
  return {
    port: typeof address === 'object' && address ? address.port : options.port,
    publish: ({ topic, payload }) => {
      broker.publish({ cmd: 'publish', topic, payload: Buffer.from(payload), qos: 0, retain: false, dup: false }, (error) => {
        if (error) options.log.warn({ topic, reason: error.message }, 'a command could not be published');
      });
    },
    stop: async () => {
      server.close();
      for (const socket of sockets) socket.destroy();
      await close();
    },
  };
}

async function listen(server: Server, port: number): Promise<void> {
  server.listen(port, '127.0.0.1');
  try {
    await once(server, 'listening');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EADDRINUSE') {
      throw new UserError(`port ${port} for MQTT is already taken: stop the program that holds it, or choose another with --mqtt-port`);
    }
    throw error;
  }
}
