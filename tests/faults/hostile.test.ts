import { io } from 'socket.io-client';
import { describe, expect, it, onTestFinished } from 'vitest';
import { Refusals } from '../../gateway/refusals.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { until } from '../support/quiet.ts';
import { NOW, PASSWORD, testServer } from '../support/server.ts';
import { testSite } from '../support/site.ts';

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
  await until(() => !socket.connected, 'the socket to be closed');
});
