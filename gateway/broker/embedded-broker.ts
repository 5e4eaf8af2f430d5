import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { createServer, type Server, type Socket } from 'node:net';
import { createServer as createTlsServer } from 'node:tls';
import { Aedes, type AuthenticateError, type Client } from 'aedes';
import type { ListenConfig } from '../../domain/shift/site-config.ts';
import { beaconClientId, beaconTopic } from '../../domain/wire/beacon.ts';
import type { Log } from '../../host/log.ts';
import { UserError } from '../../host/user-error.ts';
import type { Command } from '../decode/decoded-message.ts';
import type { Message } from '../take-in.ts';
import { type Device, type DeviceAccounts, mayPublish, maySubscribe } from './device-accounts.ts';
import { PacketGuard, type PacketLimits } from './packet-guard.ts';
import { UnknownTopics } from './unknown-topics.ts';

/** Takes a message in and resolves once what came of it is on the disk; the promises settle in the order of the calls. */
export type TakeMessage = (message: Message) => Promise<void>;

export interface BrokerLogin {
  readonly username: string;
  readonly password: string;
}

export interface EmbeddedBroker {
  /** On loopback. */
  readonly port: number;
  /** Where devices connect over TLS; null where nothing listens there. */
  readonly tlsPort: number | null;
  /** For the server's own client, the beacon. */
  readonly login: BrokerLogin;
  publish(command: Command): void;
  stop(): Promise<void>;
}

export interface EmbeddedBrokerOptions {
  readonly port: number;
  readonly site: string;
  readonly take: TakeMessage;
  /** True where some point is fed by this topic; without it every topic counts as known. */
  readonly isKnown?: (topic: string) => boolean;
  readonly log: Log;
  readonly accounts: DeviceAccounts;
  /** Beyond loopback: with TLS and accounts only. */
  readonly listen: ListenConfig | null;
  readonly limits?: PacketLimits;
}

/** A subscriber that takes nothing for so long is let go: one frozen reader would hold up all. */
const DRAIN_TIMEOUT_MS = 10_000;
/** A connection that has not said who it is by then is closed. */
const CONNECT_TIMEOUT_MS = 10_000;
/** A line that died without a word is noticed though the client asked for no keep-alive. */
const TCP_KEEPALIVE_MS = 30_000;
const MAX_CONNECTIONS = 512;
/** QoS 2 messages of one client between their two halves. */
const MAX_HALF_DONE = 20;
/** What a client may send from beyond loopback. */
const LIMITS: PacketLimits = { maxPacketBytes: 256 * 1024, packetsPerSecond: 1_000, burstPackets: 20_000 };
/** From this machine only the size is bounded: a replay sends as fast as the disk takes. */
const LOCAL_LIMITS: PacketLimits = { maxPacketBytes: 2 * 1024 * 1024, packetsPerSecond: 1_000_000, burstPackets: 1_000_000 };
/** A device that is removed, or given another password, is let go within so long; new topics of one count by then. */
const ACCOUNTS_LOOK_MS = 1_000;
const BAD_LOGIN = 4;
const IDENTIFIER_REJECTED = 2;

/** What is known of a connected client. */
interface Known {
  /** Null: anonymous, which is for programs on this machine while there are no accounts. */
  readonly device: Device | null;
  readonly isBeacon: boolean;
}

/**
 * The broker inside the process, MQTT 3.1.1: on loopback, and where the configuration says so over TLS for devices with accounts. aedes
 * acknowledges QoS 1 before it stores anything, so the message is taken in at its authorisation gate, which is passed before the
 * acknowledgement: PUBACK means on disk. Nothing of a client outlives its connection: no session, no queue, no retained message but the
 * beacon's, so nothing has to be swept.
 */
export async function startEmbeddedBroker(options: EmbeddedBrokerOptions): Promise<EmbeddedBroker> {
  const { log, site, accounts } = options;
  const login: BrokerLogin = { username: beaconClientId(site), password: randomBytes(24).toString('base64url') };
  const known = new WeakMap<Client, Known>();
  const remote = new WeakSet<Socket>();

  const identify = async (client: Client, username: string | undefined, password: Buffer | undefined): Promise<Known | null> => {
    if (username === login.username) return password?.toString() === login.password ? { device: null, isBeacon: true } : null;
    const device = username !== undefined && password !== undefined ? await accounts.authenticate(username, password) : null;
    if (device) return { device, isBeacon: false };
    const isOpen = accounts.list().length === 0 && !remote.has(client.conn as Socket);
    return isOpen && username === undefined ? { device: null, isBeacon: false } : null;
  };
  const refuse = (message: string, returnCode: number): AuthenticateError => Object.assign(new Error(message), { returnCode });

  const unknown = new UnknownTopics();
  const broker = await Aedes.createBroker({
    drainTimeout: DRAIN_TIMEOUT_MS,
    connectTimeout: CONNECT_TIMEOUT_MS,
    maxInflightInbound: MAX_HALF_DONE,
    preConnect: (_client, packet, done) => {
      packet.clean = true;
      done(null, true);
    },
    authenticate: (client, username, password, done) => {
      identify(client, username, password).then(
        (found) => {
          if (!found) return done(refuse('bad user name or password', BAD_LOGIN), false);
          const other = (broker as unknown as { clients: Record<string, Client | undefined> }).clients[client.id];
          // A device may come back under its own client id; nobody may push another one out by taking its.
          const isTaken = other !== undefined && known.get(other)?.device?.name !== found.device?.name;
          if (isTaken || (client.id === beaconClientId(site)) !== found.isBeacon) return done(refuse('this client id is another’s', IDENTIFIER_REJECTED), false);
          known.set(client, found);
          done(null, true);
        },
        (error: unknown) => {
          log.error({ err: error }, 'an account could not be checked');
          done(refuse('accounts can’t be read', 3), false);
        },
      );
    },
    authorizePublish: (client, packet, done) => {
      const { topic } = packet;
      const who = client ? known.get(client) : undefined;
      if (topic === beaconTopic(site)) return done(who?.isBeacon ? null : new Error('the beacon is the server’s'));
      if (topic.startsWith('$') || !who || who.isBeacon || (who.device && !mayPublish(who.device, topic))) return done(new Error(`may not publish to ${topic.slice(0, 120)}`));
      if (client && options.isKnown?.(topic) === false && !unknown.allows(client, performance.now())) return done(new Error('too many messages on topics that nobody knows'));
      // What sensors said is in the record; a broker that kept it would only keep it for ever.
      packet.retain = false;
      const payload = typeof packet.payload === 'string' ? Buffer.from(packet.payload) : packet.payload;
      // RETAIN asked the broker to keep the message; the message itself is fresh from its sender.
      options.take({ topic, payload, retained: false }).then(
        () => done(null),
        (error: unknown) => {
          log.error({ err: error, topic }, 'a message could not be put on disk; its sender is not told that it was');
          done(error as Error);
        },
      );
    },
    authorizeSubscribe: (client, subscription, done) => {
      const who = client ? known.get(client) : undefined;
      if (who && (who.device === null || maySubscribe(who.device, subscription.topic))) return done(null, subscription);
      log.warn({ client: client?.id, topic: subscription.topic.slice(0, 120) }, 'a device may not subscribe to this');
      // Answered in the SUBACK as refused (MQTT 3.1.1 §3.9.3); the connection stays.
      done(null, null);
    },
  });
  broker.on('clientError', (client, error) => log.warn({ client: client?.id, device: known.get(client)?.device?.name, reason: error.message }, 'an MQTT client misbehaved and was let go'));
  broker.on('connectionError', (_client, error) => log.warn({ reason: error.message }, 'an MQTT connection was refused'));

  const letGo = setInterval(() => {
    try {
      letGoRevoked(Object.values((broker as unknown as { clients: Record<string, Client> }).clients), known, accounts.list());
    } catch (error) {
      log.error({ err: error }, 'accounts can’t be read: who is connected stays');
    }
  }, ACCOUNTS_LOOK_MS);
  letGo.unref();

  const sockets = new Set<Socket>();
  const accept = (socket: Socket, isRemote: boolean): void => {
    sockets.add(socket);
    socket.once('close', () => sockets.delete(socket));
    socket.setKeepAlive(true, TCP_KEEPALIVE_MS);
    if (isRemote) remote.add(socket);
    guard(socket, options.limits ?? (isRemote ? LIMITS : LOCAL_LIMITS), log);
    broker.handle(socket);
  };
  const close = (): Promise<void> => new Promise((resolve) => broker.close(() => resolve()));
  const servers: Server[] = [];
  const open = async (server: Server, port: number, host: string, flag: string): Promise<number> => {
    server.maxConnections = MAX_CONNECTIONS;
    servers.push(server);
    return listen(server, port, host, flag);
  };
  try {
    const port = await open(createServer((socket) => accept(socket, false)), options.port, '127.0.0.1', '--mqtt-port');
    const tlsPort = options.listen === null ? null : await open(createTls(options.listen, (socket) => accept(socket, true), log), options.listen.port, options.listen.host, 'mqtt.listen');
    return {
      port,
      tlsPort,
      login,
      publish: ({ topic, payload }) => {
        broker.publish({ cmd: 'publish', topic, payload: Buffer.from(payload), qos: 0, retain: false, dup: false }, (error) => {
          if (error) log.warn({ topic, reason: error.message }, 'a command could not be published');
        });
      },
      stop: async () => {
        clearInterval(letGo);
        for (const server of servers) server.close();
        for (const socket of sockets) socket.destroy();
        await close();
      },
    };
  } catch (error) {
    clearInterval(letGo);
    for (const server of servers) server.close();
    await close();
    throw error;
  }
}

/** An account counts while it is there: taking it away ends what is connected with it. */
function letGoRevoked(clients: readonly Client[], known: WeakMap<Client, Known>, devices: readonly Device[]): void {
  for (const client of clients) {
    const who = known.get(client);
    if (!who || who.isBeacon) continue;
    const now = devices.find(({ name }) => name === who.device?.name);
    const holds = who.device === null ? devices.length === 0 : now?.hash === who.device.hash;
    if (!holds) client.close();
    else if (now) known.set(client, { ...who, device: now });
  }
}

/** Looks at what comes in before anybody parses it. */
function guard(socket: Socket, limits: PacketLimits, log: Log): void {
  const watch = new PacketGuard(limits, performance.now());
  const push = socket.push.bind(socket);
  socket.push = (chunk: Buffer | null, encoding?: BufferEncoding) => {
    const wrong = chunk === null ? null : watch.feed(chunk, performance.now());
    if (wrong === null) return push(chunk, encoding);
    log.warn({ address: socket.remoteAddress, reason: wrong }, 'an MQTT client sent too much and was let go');
    socket.destroy();
    return false;
  };
}

function createTls(config: ListenConfig, accept: (socket: Socket) => void, log: Log): Server {
  const read = (file: string): Buffer => {
    try {
      return readFileSync(file);
    } catch (error) {
      throw new UserError(`can't read ${file}, named in mqtt.listen: ${(error as Error).message}`);
    }
  };
  const server = createTlsServer({ cert: read(config.certFile), key: read(config.keyFile), minVersion: 'TLSv1.2', handshakeTimeout: CONNECT_TIMEOUT_MS }, accept);
  server.on('tlsClientError', (error, socket) => log.warn({ address: socket.remoteAddress, reason: error.message }, 'an MQTT connection without proper TLS was refused'));
  return server;
}

async function listen(server: Server, port: number, host: string, flag: string): Promise<number> {
  server.listen(port, host);
  try {
    await once(server, 'listening');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EADDRINUSE') {
      throw new UserError(`port ${port} for MQTT is already taken: stop the program that holds it, or choose another with ${flag}`);
    }
    throw error;
  }
  const address = server.address();
  return typeof address === 'object' && address ? address.port : port;
}
