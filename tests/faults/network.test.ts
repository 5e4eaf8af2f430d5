import { createServer } from 'node:http';
import { once } from 'node:events';
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { io } from 'socket.io-client';
import { describe, expect, it, onTestFinished } from 'vitest';
import { judgeLink } from '../../dashboard/link/link-state.ts';
import { httpTarget } from '../../gateway/uplink/http-target.ts';
import { addSupervisor, signIn, startPotsideUnder } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { batch, NOW, sequenced, testServer } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { NO_NETNS } from './support/kernel.ts';
import { startProxy } from './support/proxy.ts';
import { ask, compare, NOTHING_WRONG, Sender, siteOnDisk, storedValues } from './support/site-process.ts';

const drained = async (url: string): Promise<boolean> => (await ask(`${url}/api/ready`)).gateway.waiting === 0;

describe('#21 #23 a page behind a line on which nothing comes through', () => {
  it.each([['both ways', undefined], ['from the server', 'down'], ['to the server', 'up']] as const)('%s: it says it is not live, and is whole again after', async (_name, only) => {
    const { server, signIn: enter, send } = await testServer();
    const cookie = await enter('viewer');
    const line = await startProxy(() => Number(new URL(server.url).port));
    const socket = io(`http://127.0.0.1:${line.port}`, { transports: ['websocket'], extraHeaders: { cookie }, reconnectionDelay: 200, reconnectionDelayMax: 500, timeout: 2_000 });
    onTestFinished(() => void socket.disconnect());
    let frameAt = performance.now();
    let snapshots = 0;
    socket.onAny(() => (frameAt = performance.now()));
    socket.on('snapshot', () => void (snapshots += 1));
    await until(() => snapshots === 1, 'the first snapshot');
    line.set({ kind: 'black-hole', ...(only ? { only } : {}) });
    await send({ 'breathing-air-co': 15 });
    const state = () => judgeLink({ following: socket.connected ? { state: 'following', boot: 'b', revision: 1 } : { state: 'catching-up', because: 'broken', boot: 'b', revision: 1 }, sinceOpenMs: 60_000, frameAgeMs: performance.now() - frameAt, gatewayAgeMs: null, silentSensors: 0, oldestMs: null }).state;
    // One heartbeat may have been on its way; where only our own words are lost the server lets the page go.
    await until(() => state() !== 'live', 'the page to say so');
    line.set({ kind: 'clear' });
    line.cut('reset');
    await until(() => snapshots >= 2, 'a snapshot again');
  });
});

it('#26 a page that takes nothing in is let go, and the others are served meanwhile', async () => {
  const { server, signIn: enter, send, clock } = await testServer();
  const cookie = await enter('viewer');
  const line = await startProxy(() => Number(new URL(server.url).port));
  const frozen = io(`http://127.0.0.1:${line.port}`, { transports: ['websocket'], extraHeaders: { cookie }, reconnection: false });
  const well = io(server.url, { transports: ['websocket'], extraHeaders: { cookie }, reconnection: false });
  onTestFinished(() => (frozen.disconnect(), void well.disconnect()));
  await until(() => server.pagesConnected() === 2, 'both pages');
  let lives = 0;
  well.on('live', () => void (lives += 1));
  line.set({ kind: 'black-hole' });
  for (let step = 1; server.pagesConnected() === 2; step += 1) {
    clock.set(NOW + step * 50);
    await send({ 'pot-pressure': step % 100 });
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  expect(well.connected).toBe(true);
  expect(lives).toBeGreaterThan(5);
});

it('#25 two hundred pages whose server was started anew are all live again', async () => {
  const first = await testServer();
  const cookie = await first.signIn('viewer');
  const port = Number(new URL(first.server.url).port);
  let live = 0;
  const pages = Array.from({ length: 200 }, () => io(first.server.url, { transports: ['websocket'], extraHeaders: { cookie }, reconnectionDelay: 300, reconnectionDelayMax: 3_000, randomizationFactor: 0.7 }));
  onTestFinished(() => pages.forEach((page) => void page.disconnect()));
  for (const page of pages) page.on('snapshot', () => void (live += 1));
  await until(() => live === 200, 'all pages');
  await first.server.stop();
  live = 0;
  await testServer(first.dataDir, first.clock, port);
  await until(() => live >= 200, 'all pages again');
});

describe('#22 #24 the line to the sensors', () => {
  it('a second late and as thin as 64 kbit/s: every reading arrives, and no sensor counts as lost', async () => {
    const site = siteOnDisk();
    addSupervisor(site.dataDir);
    const potside = await site.start();
    const line = await startProxy(() => Number(potside.mqttPort));
    line.set({ kind: 'slow', delayMs: 1_000 });
    const sender = new Sender();
    await sender.connect(`mqtt://127.0.0.1:${line.port}`);
    for (let burst = 0; burst < 20; burst += 1) {
      if (burst === 10) line.set({ kind: 'thin', bytesPerSecond: 8_000 });
      sender.send(5);
      await new Promise((resolve) => setTimeout(resolve, 150));
    }
    await until(() => sender.acknowledged.size === 100, 'all acknowledgements', 20_000);
    const client = await signIn(potside.ready.url);
    const raised = (await client.get('/api/journal?limit=200')).items.filter(({ kind }: any) => kind === 'alarm').map(({ detail }: any) => `${detail.name} ${detail.point}`);
    expect(raised.filter((name: string) => name === 'sensor-lost pot-pressure')).toEqual([]);
    await until(() => drained(potside.ready.url), 'the outbox to empty');
    await potside.end('SIGTERM');
    expect(compare(sender, storedValues(site.dataDir, 'pot-pressure'))).toEqual(NOTHING_WRONG);
  });

  it('up and down again and again, half closed, reset, cut in the middle of a message: stored once, alarmed once', async () => {
    const site = siteOnDisk();
    addSupervisor(site.dataDir);
    const potside = await site.start();
    const line = await startProxy(() => Number(potside.mqttPort));
    const client = await mqtt.connectAsync(`mqtt://127.0.0.1:${line.port}`, { clientId: 'flapping', clean: false, reconnectPeriod: 50, connectTimeout: 2_000 });
    client.on('error', () => undefined);
    onTestFinished(() => void client.end(true));
    const begunMs = Date.now() - 60_000;
    // A sensor that sends each reading until it is acknowledged.
    const send = async (payload: string): Promise<void> => {
      for (;;) {
        const isTaken = await client.publishAsync('potside/pier-9/rig-a/breathing-air-co', payload, { qos: 1 }).then(() => true, () => false);
        if (isTaken) return;
        await new Promise((resolve) => setTimeout(resolve, 50));
      }
    };
    const under: Promise<unknown>[] = [];
    for (let flap = 0; flap < 15; flap += 1) {
      for (let one = 0; one < 10; one += 1) {
        const number = flap * 10 + one;
        under.push(send(JSON.stringify({ v: number === 75 ? 20 : 2, t: (begunMs + number * 200) / 1000 })));
      }
      line.cutAfter(flap % 3 === 0 ? 300 : null);
      await new Promise((resolve) => setTimeout(resolve, 120));
      if (flap % 3 === 1) line.cut('reset');
      if (flap % 3 !== 2) continue;
      line.halfClose();
      line.cut('close');
    }
    line.cutAfter(null);
    line.cut('reset');
    await Promise.all(under);
    const page = await signIn(potside.ready.url);
    await until(() => drained(potside.ready.url), 'the outbox to empty');
    const raised = (await page.get('/api/journal?limit=300')).items.filter(({ detail }: any) => detail.name === 'co-high' && detail.what === 'raised');
    expect(raised.length).toBeLessThanOrEqual(1);
    await potside.end('SIGTERM');
    const stored = storedValues(site.dataDir, 'breathing-air-co');
    expect(stored).toHaveLength(150);
    expect(stored.filter((value) => value === 20)).toHaveLength(1);
  });

  it.skipIf(NO_NETNS)('with every fifth packet lost each way, in a network of its own: nothing acknowledged is missing', async () => {
    const name = `potside-${process.pid}`;
    const inside = (...args: string[]): void => void spawnSync('ip', ['netns', 'exec', name, ...args], { stdio: 'ignore' });
    spawnSync('ip', ['netns', 'add', name]);
    onTestFinished(() => void spawnSync('ip', ['netns', 'del', name]));
    inside('ip', 'link', 'set', 'lo', 'up');
    const dir = tempDir();
    writeFileSync(join(dir, 'site.yaml'), 'site: { id: pier-9, name: Pier 9, zone: UTC }\nrigs: [{ id: rig-a }]\n');
    const potside = await startPotsideUnder({ wrap: ['ip', 'netns', 'exec', name] }, 'serve', '--config', join(dir, 'site.yaml'), '--data', dir, '--port', '0', '--mqtt-port', '0');
    inside('nft', 'add table ip loss; add chain ip loss in { type filter hook input priority 0; }; add rule ip loss in tcp dport ' + potside.mqttPort + ' numgen random mod 100 < 20 drop; add rule ip loss in tcp sport ' + potside.mqttPort + ' numgen random mod 100 < 20 drop');
    const published = spawnSync('ip', ['netns', 'exec', name, 'mosquitto_pub', '-h', '127.0.0.1', '-p', potside.mqttPort, '-q', '1', '-t', 'potside/pier-9/rig-a/pot-pressure', '-l'], { input: Array.from({ length: 30 }, (_, index) => `${index}\n`).join(''), timeout: 60_000 });
    expect(published.status).toBe(0);
    await potside.end('SIGTERM');
    const stored = new Set(storedValues(dir, 'pot-pressure'));
    expect(Array.from({ length: 30 }, (_, index) => index).filter((value) => !stored.has(value))).toEqual([]);
  });
});

describe('#27 something else answers in the server’s place', () => {
  it.each([
    ['a page that wants a sign-in', 200, 'text/html', '<html>Welcome! Please sign in</html>'],
    ['JSON that is no acknowledgement', 200, 'application/json', '{"ok":true}'],
    ['a redirect', 302, 'text/html', ''],
  ])('%s is no acknowledgement: the batch stays', async (_name, status, type, body) => {
    const other = createServer((_request, response) => response.writeHead(status, { 'content-type': type, location: 'http://127.0.0.1:9/' }).end(body)).listen(0, '127.0.0.1');
    await once(other, 'listening');
    onTestFinished(() => void other.close());
    const address = other.address();
    const tokenFile = join(tempDir(), 'token');
    writeFileSync(tokenFile, 'a-token\n');
    const target = httpTarget({ name: 'office', url: `http://127.0.0.1:${typeof address === 'object' ? address?.port : 0}`, tokenFile, caFile: null });
    onTestFinished(() => target.close?.());
    await expect(target.deliver(batch([sequenced('pot-pressure', 1, NOW, 1)]))).rejects.toThrow();
  });

  it('a name that leads nowhere is a reason, not an end', async () => {
    const tokenFile = join(tempDir(), 'token');
    writeFileSync(tokenFile, 'a-token\n');
    const target = httpTarget({ name: 'office', url: 'https://nowhere.invalid', tokenFile, caFile: null });
    onTestFinished(() => target.close?.());
    await expect(target.deliver(batch([sequenced('pot-pressure', 1, NOW, 1)]))).rejects.toThrow();
  });
});

describe('#21 the line to a server elsewhere stands and says nothing', () => {
  it('is given up after ten seconds, and the batch stays', async () => {
    const silent = createServer(() => undefined).listen(0, '127.0.0.1');
    await once(silent, 'listening');
    onTestFinished(() => (silent.closeAllConnections(), void silent.close()));
    const address = silent.address();
    const tokenFile = join(tempDir(), 'token');
    writeFileSync(tokenFile, 'a-token\n');
    const target = httpTarget({ name: 'office', url: `http://127.0.0.1:${typeof address === 'object' ? address?.port : 0}`, tokenFile, caFile: null });
    onTestFinished(() => target.close?.());
    await expect(target.deliver(batch([sequenced('pot-pressure', 1, NOW, 1)]))).rejects.toThrow();
  });
});
