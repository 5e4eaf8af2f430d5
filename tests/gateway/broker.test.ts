import { connect as connectTcp } from 'node:net';
import { join } from 'node:path';
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import { beaconClientId, beaconTopic } from '../../domain/wire/beacon.ts';
import { DeviceAccounts } from '../../gateway/broker/device-accounts.ts';
import { type EmbeddedBroker, startEmbeddedBroker } from '../../gateway/broker/embedded-broker.ts';
import { PacketGuard, type PacketLimits } from '../../gateway/broker/packet-guard.ts';
import { coversFilter, isFilter } from '../../gateway/broker/topic-filter.ts';
import type { Message } from '../../gateway/take-in.ts';
import { makeCertificates } from '../support/certificates.ts';
import { QUIET, until } from '../support/quiet.ts';
import { tempDir } from '../support/temp-dir.ts';

const SITE = 'pier-9';
const OWN = `potside/${SITE}/rig-a/supply-pressure`;
const OTHER = `potside/${SITE}/rig-a/breathing-air-co`;

interface Bench {
  readonly broker: EmbeddedBroker;
  readonly accounts: DeviceAccounts;
  readonly taken: Message[];
  readonly ca: Buffer;
  connect(options: IClientOptions, where?: 'local' | 'tls'): Promise<MqttClient>;
}

async function bench(limits?: PacketLimits): Promise<Bench> {
  const dir = tempDir();
  const { ca, cert, key } = makeCertificates(dir);
  const accounts = new DeviceAccounts(join(dir, 'devices.json'));
  const taken: Message[] = [];
  const take = async (message: Message): Promise<void> => void taken.push(message);
  const broker = await startEmbeddedBroker({ port: 0, site: SITE, take, log: QUIET, accounts, listen: { host: '127.0.0.1', port: 0, certFile: cert, keyFile: key }, ...(limits ? { limits } : {}) });
  onTestFinished(() => broker.stop());
  return {
    broker,
    accounts,
    taken,
    ca: readFileSync(ca),
    connect: async (options, where = 'local') => {
      const url = where === 'local' ? `mqtt://127.0.0.1:${broker.port}` : `mqtts://127.0.0.1:${broker.tlsPort}`;
      const client = await mqtt.connectAsync(url, { reconnectPeriod: 0, ...(where === 'tls' ? { ca: readFileSync(ca) } : {}), ...options }, false);
      client.on('error', () => undefined);
      onTestFinished(() => client.endAsync(true));
      return client;
    },
  };
}

const closed = (client: MqttClient): Promise<void> => new Promise<void>((resolve) => client.once('close', () => resolve()));

describe('accounts', () => {
  it('beyond loopback nobody comes in without one; on loopback only while there are none', async () => {
    const { accounts, connect, taken } = await bench();
    await expect(connect({}, 'tls')).rejects.toThrow(/not authorized|bad user/i);
    const local = await connect({});
    await local.publishAsync(OWN, '1', { qos: 1 });
    expect(taken).toHaveLength(1);
    await accounts.add('pt-101', 'cedar-anvil-42', { write: [OWN], read: [] });
    await expect(connect({})).rejects.toThrow();
    await expect(connect({ username: 'pt-101', password: 'wrong-anvil' })).rejects.toThrow();
    await expect(connect({ username: 'nobody', password: 'cedar-anvil-42' })).rejects.toThrow();
    for (const where of ['local', 'tls'] as const) await (await connect({ username: 'pt-101', password: 'cedar-anvil-42' }, where)).publishAsync(OWN, '2', { qos: 1 });
    expect(taken).toHaveLength(3);
    accounts.remove('pt-101');
    await expect(connect({ username: 'pt-101', password: 'cedar-anvil-42' }, 'tls')).rejects.toThrow();
  });

  it('a device writes its own topics and reads nothing of others', async () => {
    const { accounts, connect, taken } = await bench();
    await accounts.add('pt-101', 'cedar-anvil-42', { write: [OWN], read: [] });
    await accounts.add('spy', 'cedar-anvil-43', { write: ['spy/#'], read: ['spy/in'] });
    const spy = await connect({ username: 'spy', password: 'cedar-anvil-43' }, 'tls');
    const heard: string[] = [];
    spy.on('message', (topic) => heard.push(topic));
    const grants = await Promise.all(['#', OWN, 'spy/+', 'spy/in'].map((topic) => spy.subscribeAsync(topic).then((given) => given[0]?.qos ?? 128, () => 128)));
    expect(grants).toEqual([128, 128, 128, 0]);
    const device = await connect({ username: 'pt-101', password: 'cedar-anvil-42' }, 'tls');
    await device.publishAsync(OWN, '90', { qos: 1, retain: true });
    const gone = closed(device);
    device.publish(OTHER, '0', { qos: 1 });
    await gone;
    expect(taken.map(({ topic }) => topic)).toEqual([OWN]);
    // A last will counts as its sender's.
    const dying = await connect({ username: 'spy', password: 'cedar-anvil-43', will: { topic: OTHER, payload: Buffer.from('0'), qos: 1, retain: false } }, 'tls');
    dying.stream.destroy();
    await closed(dying);
    await spy.publishAsync('spy/out', 'x', { qos: 1 });
    await until(() => taken.length === 2, 'the last message');
    expect(taken.map(({ topic }) => topic)).toEqual([OWN, 'spy/out']);
    expect(heard).toEqual([]);
  });

  it('a device may not take the client id of another, nor speak as the beacon', async () => {
    const { accounts, broker, connect } = await bench();
    await accounts.add('a', 'cedar-anvil-42', { write: ['a'], read: [] });
    await accounts.add('b', 'cedar-anvil-43', { write: ['b'], read: [] });
    const first = await connect({ username: 'a', password: 'cedar-anvil-42', clientId: 'one' });
    await expect(connect({ username: 'b', password: 'cedar-anvil-43', clientId: 'one' })).rejects.toThrow();
    expect(first.connected).toBe(true);
    await expect(connect({ username: 'b', password: 'cedar-anvil-43', clientId: beaconClientId(SITE) })).rejects.toThrow();
    const beacon = await connect({ ...broker.login, clientId: beaconClientId(SITE) });
    await beacon.publishAsync(beaconTopic(SITE), '{}', { qos: 1, retain: true });
    const gone = closed(first);
    first.publish(beaconTopic(SITE), '{}', { qos: 1 });
    await gone;
  });
});

describe('nothing grows without bound', () => {
  it('keeps no session, no queue and no retained message of a client', async () => {
    const { connect } = await bench();
    const options: IClientOptions = { clean: false, clientId: 'sleeper' };
    const sleeper = await connect(options);
    await sleeper.subscribeAsync('#', { qos: 1 });
    await sleeper.endAsync(true);
    const sender = await connect({});
    for (let n = 0; n < 50; n += 1) await sender.publishAsync(`line/${n}`, 'x'.repeat(100), { qos: 1, retain: true });
    const heard: string[] = [];
    const again = await connect(options);
    again.on('message', (topic) => heard.push(topic));
    await again.subscribeAsync('#', { qos: 1 });
    await sender.publishAsync('line/end', '1', { qos: 1 });
    await until(() => heard.includes('line/end'), 'the newest message');
    expect(heard).toEqual(['line/end']);
  });

  it('lets a client go that announces too large a packet, before it has sent it', async () => {
    const { broker, taken } = await bench({ maxPacketBytes: 1_000, packetsPerSecond: 1_000, burstPackets: 1_000 });
    const socket = connectTcp(broker.port, '127.0.0.1');
    const gone = new Promise((resolve) => socket.once('close', resolve));
    socket.on('error', () => undefined);
    socket.write(Buffer.from([0x10, 0xff, 0xff, 0xff, 0x7f]));
    await gone;
    expect(taken).toEqual([]);
  });

  it('lets a client go that sends faster than allowed; what it was told is stored, is', async () => {
    const { connect, taken } = await bench({ maxPacketBytes: 1_000, packetsPerSecond: 1, burstPackets: 20 });
    const client = await connect({ keepalive: 0 });
    let acknowledged = 0;
    const gone = closed(client);
    for (let n = 0; n < 40; n += 1) client.publish(OWN, String(n), { qos: 1 }, (error) => { if (!error) acknowledged += 1; });
    await gone;
    expect(acknowledged).toBeLessThan(20);
    expect(taken.length).toBeGreaterThanOrEqual(acknowledged);
  });
});

describe('the guard', () => {
  const limits: PacketLimits = { maxPacketBytes: 300, packetsPerSecond: 10, burstPackets: 20 };
  const packet = (bytes: number): Buffer => Buffer.concat([Buffer.from(bytes < 128 ? [0x30, bytes] : [0x30, (bytes % 128) | 0x80, bytes >> 7]), Buffer.alloc(bytes, 0x41)]);

  it('counts packets alike however they are cut', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(300), { minLength: 1, maxLength: 20 }), fc.array(fc.integer({ min: 1, max: 50 }), { minLength: 1, maxLength: 30 }), (sizes, cuts) => {
        const bytes = Buffer.concat(sizes.map(packet));
        const guard = new PacketGuard(limits, 0);
        for (let at = 0, n = 0; at < bytes.length; n += 1) {
          const piece = bytes.subarray(at, at + (cuts[n % cuts.length] ?? 1));
          expect(guard.feed(piece, 0)).toBeNull();
          at += piece.length;
        }
        expect(guard.feed(packet(301), 100_000)).toMatch(/more than 300 bytes/);
      }),
    );
  });

  it('allows a burst, then the sustained rate', () => {
    const guard = new PacketGuard(limits, 0);
    for (let n = 0; n < 20; n += 1) expect(guard.feed(packet(1), 0)).toBeNull();
    expect(guard.feed(packet(1), 0)).toMatch(/more than 10 packets a second/);
    const later = new PacketGuard(limits, 0);
    for (let second = 0; second < 60; second += 1) for (let n = 0; n < 10; n += 1) expect(later.feed(packet(1), second * 1_000 + n * 100)).toBeNull();
  });
});

it('knows which filter covers which', () => {
  for (const [wide, narrow, covers] of [
    ['a/b', 'a/b', true], ['a/b', 'a/c', false], ['a/+', 'a/b', true], ['a/+', 'a/b/c', false], ['a/#', 'a/b/c', true], ['a/#', 'a', true],
    ['a/+', 'a/#', false], ['a/b', 'a/+', false], ['#', '$SYS/x', false], ['+/x', '$SYS/x', false], ['$SYS/#', '$SYS/x', true], ['a/+/c', 'a/+/c', true],
  ] as const) expect([wide, narrow, coversFilter(wide, narrow)]).toEqual([wide, narrow, covers]);
  expect(['a/#', '+', 'a/+/b', '#'].every(isFilter)).toBe(true);
  expect(['', 'a/#/b', 'a+', 'a/b#', 'a\u0000'].some(isFilter)).toBe(false);
});
