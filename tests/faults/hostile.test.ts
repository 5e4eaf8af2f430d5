import { once } from 'node:events';
import { connect } from 'node:net';
import { gzipSync } from 'node:zlib';
import { io } from 'socket.io-client';
import { describe, expect, it, onTestFinished } from 'vitest';
import { Refusals } from '../../gateway/refusals.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { createLog } from '../../host/log.ts';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import { until } from '../support/quiet.ts';
import { NOW, PASSWORD, testServer } from '../support/server.ts';
import { SITE_YAML, testSite } from '../support/site.ts';

const topics = new TopicMap(testSite());
const CO = 'potside/pier-9/rig-a/breathing-air-co';

describe('#61 payloads made to hurt', () => {
  const PAYLOADS: [string, Buffer][] = [
    ['ten megabytes', Buffer.alloc(10_000_000, 0x31)],
    ['a million levels deep', Buffer.from('['.repeat(1_000_000) + ']'.repeat(1_000_000))],
    ['as deep as the size allows', Buffer.from('['.repeat(32_000) + ']'.repeat(32_000))],
    ['invalid UTF-8', Buffer.from([0xc0, 0xaf, 0xed, 0xa0, 0x80, 0xff])],
    ['a lone quote', Buffer.from('"')],
    ['a key over and over', Buffer.from(`{${'"v":1,'.repeat(5_000)}"v":2}`)],
    ['a number of 60,000 digits', Buffer.from('9'.repeat(60_000))],
    ['nothing but NUL', Buffer.alloc(60_000)],
  ];

  it.each(PAYLOADS)('%s: set aside or read in well under 50 ms', (_name, payload) => {
    const tookMs = Math.min(...[1, 2, 3].map(() => {
      const begun = performance.now();
      takeIn(topics, { topic: CO, payload, retained: false }, NOW);
      return performance.now() - begun;
    }));
    expect(tookMs).toBeLessThan(50);
    const { readings, refusals } = takeIn(topics, { topic: CO, payload, retained: false }, NOW);
    expect(refusals.length + readings.filter(({ quality }) => quality === 'good').length).toBeGreaterThan(0);
    for (const { sample } of refusals) expect(sample.length).toBeLessThanOrEqual(120);
  });
});

it('#62 a hundred thousand topics nobody knows fill no memory, and a sensor beside them gets through', async () => {
  const refusals = new Refusals();
  for (let n = 0; n < 100_000; n += 1) for (const refusal of takeIn(topics, { topic: `flood/${n}`, payload: Buffer.from('1'), retained: false }, NOW).refusals) refusals.add(refusal);
  expect(refusals.counts()).toEqual({ 'unknown-topic': 100_000 });
  expect(refusals.latest().length).toBeLessThanOrEqual(100);
  expect(takeIn(topics, { topic: CO, payload: Buffer.from('3'), retained: false }, NOW).readings).toHaveLength(1);
});

describe('#63 names made to hurt', () => {
  it.each(['site/+', '#', '$share', '../etc', 'Pier 9', 'a'.repeat(33), '', '-a', 'pier\u0000'])('%j is no id of a site or a rig', (name) => {
    expect(() => parseSiteYaml(SITE_YAML.replace('id: pier-9', `id: ${JSON.stringify(name)}`), 'site.yaml')).toThrow(/site\.yaml.*id/s);
    expect(() => parseSiteYaml(SITE_YAML.replace('id: rig-b', `id: ${JSON.stringify(name)}`), 'site.yaml')).toThrow(/site\.yaml.*id/s);
  });

  it.each(['line/+', 'line/#', 'a\u0007b'])('%j is no topic to be mapped', (topic) => {
    expect(() => parseSiteYaml(SITE_YAML.replace('topic: line/pt-101', `topic: ${JSON.stringify(topic)}`), 'site.yaml')).toThrow(/topic/);
  });
});

it('#65 what a person wrote comes out as data, never as a page: JSON, with the headers that keep it that', async () => {
  const { call, signIn } = await testServer();
  const cookie = await signIn('supervisor');
  await call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a' } });
  const name = '<img src=x onerror=alert(1)>\u202Ejavascript:alert(1)';
  const said = await call('POST', '/api/rigs/rig-a/hood-in', { cookie, body: { name } });
  const journal = await call('GET', '/api/journal', { cookie });
  expect(journal.headers.get('content-type')).toMatch(/^application\/json/);
  expect(journal.headers.get('x-content-type-options')).toBe('nosniff');
  expect(journal.headers.get('content-security-policy')).toMatch(/script-src 'self'/);
  expect(journal.headers.get('content-security-policy')).not.toMatch(/unsafe/);
  // Either refused for its characters, or kept as they are and given out as text.
  if (said.ok) expect(JSON.stringify(await journal.json())).toContain('onerror');
  const page = await call('GET', `/${encodeURIComponent(name)}`);
  expect(await page.text()).not.toContain('<img');
});

it.each(['/..%2f..%2fetc/passwd', '/%2e%2e/%2e%2e/etc/passwd', '/assets/..%2f..%2f..%2fpackage.json', '/api/rigs/..%2f..%2fetc/points', '//etc/passwd', '/\\..\\..\\etc\\passwd'])('#67 %s leads nowhere', async (path) => {
  const { server } = await testServer();
  const { hostname, port } = new URL(server.url);
  const socket = connect(Number(port), hostname);
  let answer = '';
  socket.on('data', (chunk: Buffer) => (answer += chunk.toString()));
  socket.write(`GET ${path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n`);
  await once(socket, 'close');
  expect(answer).toMatch(/^HTTP\/1\.1 (400|401|404)/);
  expect(answer).not.toMatch(/root:|"name": "potside"/);
});

it('#68 a form or plain text from another page does nothing, though the cookie came along', async () => {
  const { call, signIn } = await testServer();
  const cookie = await signIn('supervisor');
  for (const [type, body] of [['text/plain', '{"rig":"rig-a"}'], ['application/x-www-form-urlencoded', 'rig=rig-a'], ['multipart/form-data; boundary=x', '--x\r\n\r\n--x--']]) {
    const response = await fetch(`${(await testServerUrl(call))}/api/shifts`, { method: 'POST', headers: { cookie, 'content-type': type ?? '' }, body: body ?? '' });
    expect([400, 415]).toContain(response.status);
  }
  const foreign = await call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a' }, headers: { origin: 'http://elsewhere.test' } });
  expect(foreign.status).toBe(403);
  expect(((await (await call('GET', '/api/shifts', { cookie })).json()) as { items: unknown[] }).items).toEqual([]);
});

/** Where a test server listens. */
async function testServerUrl(call: Awaited<ReturnType<typeof testServer>>['call']): Promise<string> {
  return new URL((await call('GET', '/api/health')).url).origin;
}

it('#69 a page of another origin opens no socket with our cookie', async () => {
  const { server, signIn } = await testServer();
  const cookie = await signIn('viewer');
  const socket = io(server.url, { transports: ['websocket'], reconnection: false, extraHeaders: { cookie, origin: 'http://elsewhere.test' } });
  onTestFinished(() => void socket.disconnect());
  const [error] = (await once(socket as unknown as NodeJS.EventEmitter, 'connect_error')) as [Error];
  expect(error).toBeDefined();
  expect(server.pagesConnected()).toBe(0);
});

it('#71 a session is new at each sign-in, and one that was signed out closes its sockets too', async () => {
  const { server, signIn, call } = await testServer();
  const cookie = await signIn('viewer');
  const again = await call('POST', '/api/session', { cookie, body: { name: 'the viewer', password: PASSWORD } });
  const next = (again.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
  expect(next).not.toBe('');
  expect(next).not.toBe(cookie);
  const socket = io(server.url, { transports: ['websocket'], reconnection: false, extraHeaders: { cookie: next } });
  onTestFinished(() => void socket.disconnect());
  await until(() => socket.connected, 'the socket');
  await call('DELETE', '/api/session', { cookie: next });
  await until(() => !socket.connected, 'the socket to be closed', 10_000);
}, 20_000);

it('#74 a request that drips is ended, and others are answered meanwhile', async () => {
  const { server, call } = await testServer();
  const { hostname, port } = new URL(server.url);
  const sockets = Array.from({ length: 20 }, () => connect(Number(port), hostname));
  const closed = Promise.all(sockets.map((socket) => (socket.on('error', () => undefined), new Promise((resolve) => void socket.once('close', resolve)))));
  for (const socket of sockets) socket.write('POST /api/session HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 500\r\n\r\n{');
  const drip = setInterval(() => sockets.forEach((socket) => void (socket.writable && socket.write(' '))), 500);
  expect((await call('GET', '/api/health')).status).toBe(200);
  const begun = performance.now();
  await closed;
  clearInterval(drip);
  expect(performance.now() - begun).toBeLessThan(25_000);
  expect((await call('GET', '/api/health')).status).toBe(200);
}, 40_000);

it('#75 a small body that would unpack to a gigabyte is refused, and costs no memory', async () => {
  const { server } = await testServer();
  const bomb = gzipSync(Buffer.alloc(200_000_000));
  const before = process.memoryUsage().rss;
  for (const path of ['/api/session', '/api/uplink/pier-9']) {
    const response = await fetch(server.url + path, { method: 'POST', headers: { 'content-type': 'application/json', 'content-encoding': 'gzip' }, body: bomb });
    expect(response.status).toBeGreaterThanOrEqual(400);
    expect(response.status).toBeLessThan(500);
  }
  expect(process.memoryUsage().rss - before).toBeLessThan(150_000_000);
});

it('#76 keys that would reach the prototype reach nothing, by MQTT and in a configuration', () => {
  for (const payload of ['{"__proto__":{"v":3}}', '{"constructor":{"prototype":{"v":3}},"v":{"__proto__":1}}', '[{"__proto__":{"polluted":1},"n":"x","v":1}]']) takeIn(topics, { topic: CO, payload: Buffer.from(payload), retained: false }, NOW);
  expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
  expect(({} as Record<string, unknown>)['v']).toBeUndefined();
  expect(() => parseSiteYaml(`${SITE_YAML}\n__proto__: { polluted: true }\n`, 'site.yaml')).toThrow(/site\.yaml/);
  expect(() => parseSiteYaml(`${SITE_YAML}\nconstructor: { prototype: { polluted: true } }\n`, 'site.yaml')).toThrow(/site\.yaml/);
  expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
});

it('#78 ten years of a trace, and a journal asked for too much, are bounded', async () => {
  const { call, signIn, send } = await testServer();
  const cookie = await signIn('viewer');
  await send({ 'pot-pressure': 90 });
  const begun = performance.now();
  const trace = await call('GET', '/api/rigs/rig-a/trace?points=pot-pressure&from=2016-01-01T00:00:00Z&to=2026-12-31T00:00:00Z&width=2000', { cookie });
  expect(trace.status === 200 || trace.status === 400).toBe(true);
  expect((await call('GET', '/api/journal?limit=1000000', { cookie })).status).toBe(400);
  expect((await call('GET', '/api/rigs/rig-a/trace?points=pot-pressure&width=100000000', { cookie })).status).toBe(400);
  expect(performance.now() - begun).toBeLessThan(5_000);
});

it('#79 line breaks in a topic make no line of their own in the log', async () => {
  const lines: string[] = [];
  const log = createLog('warn', { write: (line: string) => void lines.push(line) });
  const { refusals } = takeIn(topics, { topic: 'x\n{"level":60,"msg":"forged"}', payload: Buffer.from('1\r\nforged'), retained: false }, NOW);
  for (const { topic, reason, detail } of refusals) log.warn({ topic, reason, detail }, 'message set aside');
  expect(lines).toHaveLength(1);
  expect(lines[0]?.trimEnd().split('\n')).toHaveLength(1);
  expect(JSON.parse(lines[0] ?? '').msg).toBe('message set aside');
});
