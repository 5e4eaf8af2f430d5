import { spawnSync } from 'node:child_process';
import { utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { SettableClock } from '../../host/clock.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import type { Store } from '../../server/record/store.ts';
import { addSupervisor, signIn } from '../support/potside-process.ts';
import { QUIET, until } from '../support/quiet.ts';
import { seeded } from '../support/seeded.ts';
import { batch, NOW, sequenced } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';
import { NO_FAKETIME } from './support/kernel.ts';
import { Sender, siteOnDisk } from './support/site-process.ts';

const topics = new TopicMap(testSite());
const heard = (second: number, value: number) => takeIn(topics, { topic: 'potside/pier-9/rig-a/breathing-air-co', payload: Buffer.from(JSON.stringify({ v: value, t: second })), retained: false }, NOW);

async function open(clock = new SettableClock(NOW)): Promise<{ writer: SiteWriter; store: Store; clock: SettableClock; raised: () => Promise<string[]> }> {
  const { store } = openSqliteStore(join(tempDir(), 'record.db'));
  const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: () => undefined });
  await writer.configure(testSite());
  onTestFinished(async () => {
    await writer.stop();
    await store.close();
  });
  return { writer, store, clock, raised: async () => (await store.journal('pier-9', { limit: 500 })).filter(({ kind, detail }) => kind === 'alarm' && detail['what'] === 'raised').map(({ detail }) => String(detail['name'])) };
}

describe('#29 a sensor’s clock is off', () => {
  it.each([['1970', 12], ['2100', Date.UTC(2100, 0) / 1000], ['two hours ahead', NOW / 1000 + 7_200]])('%s: its time is put aside, the value counts at the time of receipt', (_name, second) => {
    expect(heard(second, 12).readings).toEqual([expect.objectContaining({ value: 12, quality: 'uncertain', reason: 'clock-suspect', observedAtMs: NOW, receivedAtMs: NOW, backlog: false })]);
  });

  it('a suspect clock may raise, and clears nothing earlier than a good one would', async () => {
    const { writer, clock, raised } = await open();
    const suspect = (sequence: number, value: number): SequencedReading => ({ ...sequenced('breathing-air-co', value, clock.nowMs(), sequence), quality: 'uncertain', reason: 'clock-suspect' });
    await writer.take(batch([suspect(1, 15)]));
    expect(await raised()).toEqual(['co-high']);
    clock.set(NOW + 1_000);
    await writer.take(batch([suspect(2, 2)]));
    expect([...writer.state.alarms()].find(({ bound }) => bound.rule.name === 'co-high')?.track.occurrence?.state).toBe('unacknowledged');
  });

  it('two hours behind, it is old news: recorded, and no horn', async () => {
    const [old] = heard(NOW / 1000 - 7_200, 40).readings;
    expect(old).toMatchObject({ observedAtMs: NOW - 7_200_000, quality: 'good' });
    const { writer, raised, store } = await open();
    await writer.take(batch([sequenced('breathing-air-co', 2, NOW, 1)]));
    await writer.take(batch([{ ...(old as SequencedReading), sequence: 2 }]));
    expect(await raised()).toEqual([]);
    expect(await store.readings('pier-9', 'rig-a', 'breathing-air-co', 0, NOW * 2)).toHaveLength(2);
  });

  it('the gateway’s own clock hours off: what it sends at once is live all the same, waiting is counted on its clock', async () => {
    for (const offMs of [7_200_000, -7_200_000]) {
      const { writer, raised } = await open();
      const reading = sequenced('breathing-air-co', 15, NOW + offMs, 1);
      await writer.take(batch([reading], NOW + offMs));
      expect(await raised(), `${offMs}`).toEqual(['co-high']);
    }
  });
});

describe('#30 the server’s clock is set', () => {
  const LIBRARY = spawnSync('sh', ['-c', 'ls /usr/lib/*/faketime/libfaketime.so.1'], { encoding: 'utf8' }).stdout.trim();

  it.skipIf(NO_FAKETIME)('by an hour, while it runs: log time goes on evenly, the jump is in the journal and an alarm, and nothing else happens', async () => {
    const site = siteOnDisk();
    addSupervisor(site.dataDir);
    const file = join(site.dataDir, 'faketime');
    writeFileSync(file, '+0');
    const potside = await site.start({ env: { LD_PRELOAD: LIBRARY, FAKETIME_TIMESTAMP_FILE: file, FAKETIME_CACHE_DURATION: '1', DONT_FAKE_MONOTONIC: '1', FAKETIME_DONT_FAKE_MONOTONIC: '1' } });
    const sender = new Sender();
    await sender.connect(potside.ready.mqtt);
    sender.send(20);
    await until(() => sender.acknowledged.size === 20, 'the acknowledgements');
    const client = await signIn(potside.ready.url);
    const nowMs = async (): Promise<number> => Date.parse((await client.get('/api/ready')).at ?? new Date().toISOString());
    const before = await nowMs();
    writeFileSync(file, '+3600');
    utimesSync(file, new Date(), new Date(Date.now() + 1_000));
    const clockRows = async (): Promise<any[]> => (await client.get('/api/journal?limit=200')).items.filter(({ kind }: any) => kind === 'clock');
    await until(async () => (await clockRows()).length > 0, 'the jump in the journal', 20_000);
    const [jump] = await clockRows();
    expect(Math.round(jump.detail.jumpMs / 60_000)).toBe(60);
    expect(Date.parse(jump.at) - before).toBeLessThan(60_000);
    const alarms = (await client.get('/api/alarms')).items.map(({ name }: any) => name);
    expect(alarms).toContain('clock-off');
    expect(alarms.filter((name: string) => name === 'sensor-lost')).toEqual([]);
    await potside.end('SIGTERM');
  });
});

describe('#31 the same readings twice', () => {
  it('are stored once and alarmed once', async () => {
    const { writer, store, raised } = await open();
    const all = [sequenced('breathing-air-co', 2, NOW, 1), sequenced('breathing-air-co', 15, NOW, 2), sequenced('breathing-air-co', 16, NOW, 3)];
    for (let time = 0; time < 3; time += 1) {
      await writer.take(batch(all));
      await writer.take(batch(all.slice(0, 2)));
    }
    expect((await store.readings('pier-9', 'rig-a', 'breathing-air-co', 0, NOW * 2)).map(({ value }) => value)).toEqual([2, 15, 16]);
    expect(await raised()).toEqual(['co-high']);
  });
});

describe('#32 readings out of order', () => {
  it('each is stored at its own time, whatever the order, and history raises no horn', async () => {
    const { writer, store, clock, raised } = await open();
    const random = seeded(32);
    await writer.take(batch([sequenced('breathing-air-co', 2, NOW, 1)]));
    const history = Array.from({ length: 200 }, (_, index) => ({ ...sequenced('breathing-air-co', index % 40 === 0 ? 50 : 3, NOW - 86_400_000 + index * 60_000, index + 2), backlog: true }));
    const shuffled = history.map((reading) => ({ reading, at: random() })).toSorted((a, b) => a.at - b.at).map(({ reading }, index) => ({ ...reading, sequence: index + 2 }));
    clock.set(NOW + 1_000);
    for (let at = 0; at < shuffled.length; at += 17) await writer.take(batch(shuffled.slice(at, at + 17)));
    const stored = await store.readings('pier-9', 'rig-a', 'breathing-air-co', 0, NOW * 2);
    expect(stored.map(({ observedAtMs }) => observedAtMs)).toEqual([...history.map(({ observedAtMs }) => observedAtMs), NOW]);
    expect(await raised()).toEqual([]);
  });
});

it('#33 a time ten minutes ahead does not stand in the way of newer, true readings', async () => {
  const { writer, raised } = await open();
  const [ahead] = heard(NOW / 1000 + 600, 2).readings;
  await writer.take(batch([{ ...(ahead as SequencedReading), sequence: 1 }]));
  await writer.take(batch([sequenced('breathing-air-co', 15, NOW, 2)]));
  expect(await raised()).toEqual(['co-high']);
});

it('#34 the hour that comes twice: two readings at half past one stay an hour apart', async () => {
  const { writer, store } = await open(new SettableClock(Date.UTC(2026, 10, 1, 7, 30)));
  // In Chicago both are 01:30 on the first of November.
  for (const [index, hour] of [6, 7].entries()) await writer.take(batch([sequenced('pot-pressure', 90 + index, Date.UTC(2026, 10, 1, hour, 30), index + 1)]));
  const stored = await store.readings('pier-9', 'rig-a', 'pot-pressure', 0, Date.UTC(2027, 0));
  expect(stored.map(({ value }) => value)).toEqual([90, 91]);
  expect((stored[1]?.observedAtMs ?? 0) - (stored[0]?.observedAtMs ?? 0)).toBe(3_600_000);
});

it('#35 a leap second or a date that is none is never read as a time of its own', () => {
  for (const time of ['2016-12-31T23:59:60Z', '2026-02-30T00:00:00Z', 'NaN']) {
    const { readings, refusals } = takeIn(topics, { topic: 'potside/pier-9/rig-a/breathing-air-co', payload: Buffer.from(JSON.stringify({ v: 2, t: time })), retained: false }, NOW);
    expect(refusals.map(({ reason }) => reason)).toEqual(['time-unreadable']);
    expect(readings).toMatchObject([{ value: null, quality: 'bad', observedAtMs: NOW }]);
  }
});
