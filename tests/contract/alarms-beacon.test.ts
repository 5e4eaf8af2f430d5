import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { createConnection, createServer, type Server, type Socket } from 'node:net';
import { join } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import { startHouse } from '../../cli/house.ts';
import { type BeaconMessage, beaconTopic } from '../../domain/wire/beacon.ts';
import { startBeacon } from '../../server/alarms/beacon.ts';
import { QUIET, until } from '../support/quiet.ts';
import { SettableClock } from '../../host/clock.ts';
import { NOW, testServer } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const TOPIC = beaconTopic('pier-9');

/** A horn: keeps what it is told. */
async function horn(url: string): Promise<{ client: MqttClient; told: BeaconMessage[]; last: () => BeaconMessage | undefined }> {
  const client = await mqtt.connectAsync(url, { reconnectPeriod: 0 });
  onTestFinished(() => client.endAsync(true));
  const told: BeaconMessage[] = [];
  client.on('message', (_topic, payload) => told.push(JSON.parse(payload.toString()) as BeaconMessage));
  await client.subscribeAsync(TOPIC, { qos: 1 });
  return { client, told, last: () => told.at(-1) };
}

describe('the beacon on the embedded broker', () => {
  async function house() {
    const clock = new SettableClock(NOW);
    const started = await startHouse({ config: testSite(), dataDir: tempDir(), host: '127.0.0.1', port: 0, mqttPort: 0, makeClock: () => clock, log: QUIET, demo: false });
    let isStopped = false;
    const stop = async (): Promise<void> => {
      if (!isStopped) await started.stop();
      isStopped = true;
    };
    onTestFinished(stop);
    return { started, clock, stop, writer: started.server.writer('pier-9') };
  }

  it('says clear, then critical, and counts what nobody at the rig has taken', async () => {
    const { started, writer } = await house();
    const { client, told, last } = await horn(started.gateway.mqttUrl);
    await until(() => last()?.state === 'clear', 'clear');
    expect(last()).toEqual({ state: 'clear', unacknowledged: 0, since: '2026-06-01T12:00:00.000Z', at: '2026-06-01T12:00:00.000Z', validForS: 15 });
    await client.publishAsync('potside/pier-9/rig-a/breathing-air-co', '14', { qos: 1 });
    await until(() => last()?.state === 'critical', 'critical');
    expect(last()?.unacknowledged).toBe(1);
    const alarm = [...(writer?.state.alarms() ?? [])].find(({ track }) => track.occurrence)?.track.occurrence?.id ?? '';
    const before = told.length;
    await writer?.act({ kind: 'acknowledge', alarm, atRig: false, by: 'olga', role: 'safety-officer', from: 'test', key: 'office' });
    await new Promise((resolve) => setTimeout(resolve, 150));
    // Taken in the office: nothing changes for the rig.
    expect([told.length, last()?.unacknowledged]).toEqual([before, 1]);
    await writer?.act({ kind: 'acknowledge', alarm, atRig: true, by: 'tom', role: 'tender', from: 'test', key: 'at-rig' });
    await until(() => last()?.unacknowledged === 0, 'silence at the rig');
    expect(last()?.state).toBe('critical');
  });

  it('is retained, and told anew well within its validity', async () => {
    const { started, clock } = await house();
    const first = await horn(started.gateway.mqttUrl);
    await until(() => first.last()?.state === 'clear', 'clear');
    clock.set(NOW + 5_000);
    await until(() => first.last()?.at === '2026-06-01T12:00:05.000Z', 'the next message');
    expect(first.last()?.since).toBe('2026-06-01T12:00:00.000Z');
    const later = await horn(started.gateway.mqttUrl);
    await until(() => later.last()?.state === 'clear', 'the retained message');
  });

  it('is nobody else’s to say', async () => {
    const { started } = await house();
    const { told, last } = await horn(started.gateway.mqttUrl);
    await until(() => last()?.state === 'clear', 'clear');
    const liar = await mqtt.connectAsync(started.gateway.mqttUrl, { reconnectPeriod: 0 });
    onTestFinished(() => liar.endAsync(true));
    liar.on('error', () => undefined);
    const isGone = new Promise<void>((resolve) => void liar.once('close', () => resolve()));
    liar.publish(TOPIC, '{"state":"low"}', { qos: 1, retain: true });
    await isGone;
    expect(told.map(({ state }) => state)).not.toContain('low');
  });

  it('says unknown when the server is stopped', async () => {
    const { started, stop } = await house();
    const { last } = await horn(started.gateway.mqttUrl);
    await until(() => last()?.state === 'clear', 'clear');
    await stop();
    expect(last()).toMatchObject({ state: 'unknown', validForS: 0 });
  });
});

/** Stands between the beacon and a broker; cutting it is what the death of the server's machine looks like. */
async function cable(toPort: number): Promise<{ port: number; cut: () => void }> {
  const sockets = new Set<Socket>();
  const server: Server = createServer((from) => {
    const to = createConnection({ port: toPort, host: '127.0.0.1' });
    for (const [one, other] of [[from, to], [to, from]] as const) {
      sockets.add(one);
      one.pipe(other);
      one.on('error', () => undefined);
    }
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  const cut = (): void => {
    server.close();
    for (const socket of sockets) socket.destroy();
  };
  onTestFinished(cut);
  const address = server.address();
  return { port: typeof address === 'object' && address ? address.port : 0, cut };
}

async function mosquitto(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  const port = typeof address === 'object' && address ? address.port : 0;
  await new Promise((resolve) => server.close(resolve));
  const file = join(tempDir(), 'mosquitto.conf');
  writeFileSync(file, `listener ${port} 127.0.0.1\nallow_anonymous true\npersistence false\nuser root\n`);
  const child = spawn('mosquitto', ['-c', file], { stdio: 'ignore' });
  onTestFinished(() => void child.kill('SIGKILL'));
  await until(() => new Promise((resolve) => void createConnection({ port, host: '127.0.0.1' }, () => resolve(true)).on('error', () => resolve(false)).unref()), 'Mosquitto to listen');
  return port;
}

describe('the beacon on a broker of the site’s own', () => {
  it('leaves unknown behind when the server dies: the Last Will, retained', async () => {
    const port = await mosquitto();
    const { server, clock } = await testServer();
    const { port: through, cut } = await cable(port);
    const writer = server.writer('pier-9');
    if (!writer) throw new Error('no writer');
    const beacon = startBeacon({ url: `mqtt://127.0.0.1:${through}`, broker: null, writer, clock, log: QUIET });
    onTestFinished(() => beacon.stop());
    const { last } = await horn(`mqtt://127.0.0.1:${port}`);
    await until(() => last()?.state === 'clear', 'clear');
    cut();
    await until(() => last()?.state === 'unknown', 'the Last Will');
    expect(last()).toMatchObject({ state: 'unknown', validForS: 0 });
    const later = await horn(`mqtt://127.0.0.1:${port}`);
    await until(() => later.last()?.state === 'unknown', 'the retained Last Will');
    expect(beacon.isConnected()).toBe(false);
  });
});
