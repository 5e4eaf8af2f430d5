import { io, type Socket } from 'socket.io-client';
import { expect, it, onTestFinished } from 'vitest';
import { recentQuestions } from '../../dashboard/watch/recent/recent-questions.ts';
import { pointKey } from '../../domain/points/reading.ts';
import type { Trace } from '../../domain/wire/trace.ts';
import type { BrowserToServer, LiveSite, LiveSnapshot, ServerToBrowser } from '../../domain/wire/live.ts';
import { until } from '../support/quiet.ts';
import { NOW, testServer } from '../support/server.ts';

it('answers all that Watch asks for its short traces, and tells every page of a needle reading', async () => {
  const server = await testServer();
  const viewer = await server.signIn('viewer');
  for (let second = 0; second < 5; second += 1) {
    server.clock.set(NOW + second * 1000);
    await server.send({ 'breathing-air-co': 3, 'supply-pressure': 104, 'nozzle-pressure': 94 });
    await server.send({ 'compressor-pressure': 112 }, server.clock.nowMs(), 'comp-1');
    await server.send({ 'ambient-humidity': 60 }, server.clock.nowMs(), 'pier-9');
  }
  const socket: Socket<ServerToBrowser, BrowserToServer> = io(server.server.url, { transports: ['websocket'], extraHeaders: { cookie: viewer } });
  onTestFinished(() => void socket.disconnect());
  const snapshots: LiveSnapshot[] = [];
  const told: LiveSite[] = [];
  socket.on('snapshot', (message) => void snapshots.push(message));
  socket.on('sites', (message) => void told.push(...message.sites));
  await until(() => snapshots.length > 0, 'the snapshot', 20_000);

  const { sites, points } = snapshots[0] as LiveSnapshot;
  const questions = recentQuestions(sites[0]?.rigs ?? [], new Map(points.map((point) => [pointKey(point.owner, point.id), point])));
  expect(questions.find(({ rig }) => rig === 'rig-a')?.points).toEqual(expect.arrayContaining(['breathing-air-co', 'compressor-pressure', 'supply-pressure', 'nozzle-pressure', 'ambient-humidity']));
  for (const { rig, points: ids } of questions.filter((question) => question.points.length > 0)) {
    const query = new URLSearchParams({ points: ids.join(','), from: new Date(NOW - 595_000).toISOString(), to: new Date(NOW + 5_000).toISOString(), width: '120' });
    const response = await server.call('GET', `/api/rigs/${rig}/trace?${query.toString()}`, { cookie: viewer });
    expect(response.status, rig).toBe(200);
    expect(((await response.json()) as Trace).series.map(({ id }) => id)).toEqual(ids);
  }

  const tender = await server.signIn('tender');
  expect((await server.call('POST', '/api/rigs/rig-a/entries', { cookie: tender, body: { kind: 'needle', value: 93 } })).ok).toBe(true);
  await until(() => told.some((site) => site.rigs.some((rig) => rig.needle !== null)), 'the needle reading', 20_000);
  const rig = told.at(-1)?.rigs.find(({ id }) => id === 'rig-a');
  expect(rig?.needle).toMatchObject({ nozzle: 93, supply: 104 });
  // While air flows: later losses are told against those of this moment.
  expect(rig?.needle?.residual).not.toBeNull();
  expect(rig?.line.nozzle?.bore).toBeGreaterThan(0.005);
});
