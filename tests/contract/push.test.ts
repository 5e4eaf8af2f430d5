import { io, type Socket } from 'socket.io-client';
import { expect, it, onTestFinished } from 'vitest';
import type { BrowserToServer, LiveAlarms, LiveSnapshot, LiveUpdate, ServerToBrowser } from '../../domain/wire/live.ts';
import { until } from '../support/quiet.ts';
import { testServer, type TestServer } from '../support/server.ts';

interface Page {
  readonly socket: Socket<ServerToBrowser, BrowserToServer>;
  readonly snapshots: LiveSnapshot[];
  readonly updates: LiveUpdate[];
  readonly alarms: LiveAlarms[];
  readonly revisions: number[];
}

async function openPage({ server, signIn }: TestServer): Promise<Page> {
  const cookie = await signIn('viewer');
  const socket: Page['socket'] = io(server.url, { transports: ['websocket'], extraHeaders: { cookie } });
  onTestFinished(() => void socket.disconnect());
  const page: Page = { socket, snapshots: [], updates: [], alarms: [], revisions: [] };
  socket.on('snapshot', (message) => (page.snapshots.push(message), page.revisions.push(message.revision)));
  socket.on('live', (message) => (page.updates.push(message), page.revisions.push(message.revision)));
  socket.on('alarms', (message) => (page.alarms.push(message), page.revisions.push(message.revision)));
  socket.on('sites', (message) => page.revisions.push(message.revision));
  await until(() => page.snapshots.length > 0, 'the first snapshot');
  return page;
}

it('begins with all there is', async () => {
  const server = await testServer();
  await server.send({ 'breathing-air-co': 12.5, 'supply-pressure': 105 });
  const { snapshots } = await openPage(server);
  expect(snapshots[0]?.sites.map(({ id, recording }) => [id, recording])).toEqual([['pier-9', true]]);
  expect(snapshots[0]?.points.find(({ id }) => id === 'supply-pressure')).toMatchObject({ owner: 'rig-a', value: 105, quality: 'good' });
  expect(snapshots[0]?.alarms.map(({ name, state }) => [name, state])).toEqual([['co-high', 'unacknowledged']]);
});

it('counts revisions without a gap, sends an alarm at once and points soon after', async () => {
  const server = await testServer();
  const page = await openPage(server);
  await server.send({ 'breathing-air-co': 12.5 });
  await until(() => page.alarms.length > 0, 'the alarm');
  expect(page.alarms[0]?.alarms[0]).toMatchObject({ name: 'co-high', value: 12.5 });
  await until(() => page.updates.some(({ points }) => points.some(({ id }) => id === 'breathing-air-co')), 'the reading');
  const [first = 0, ...rest] = page.revisions;
  expect(rest.length).toBeGreaterThan(1);
  // The snapshot has the revision of what was sent before it; after that each is the next.
  const after = rest.filter((revision) => revision > first);
  expect(after).toEqual(after.map((_, index) => first + 1 + index));
});

it('says every second that it lives, and gives a new snapshot when asked', async () => {
  const server = await testServer();
  const page = await openPage(server);
  await until(() => page.updates.length >= 2, 'two heartbeats');
  page.socket.emit('resync');
  await until(() => page.snapshots.length === 2, 'the second snapshot');
  expect(page.snapshots[1]?.revision).toBeGreaterThanOrEqual(page.snapshots[0]?.revision ?? 0);
});

it('lets a page come back by itself after the server was started anew, under a new boot', async () => {
  const first = await testServer();
  const page = await openPage(first);
  const port = Number(new URL(first.server.url).port);
  expect(port).toBeGreaterThan(0);
  const disconnected = new Promise<string>((resolve) => page.socket.on('disconnect', (reason) => resolve(reason)));
  await first.server.stop();
  // «transport close» is what lets the client come back; «io server disconnect» would keep it away for good.
  expect(await disconnected).toBe('transport close');
  await testServer(first.dataDir, first.clock, port);
  await until(() => page.snapshots.length === 2, 'the snapshot of the new server');
  expect(page.snapshots[1]?.boot).not.toBe(page.snapshots[0]?.boot);
});
