import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { LIVE_WITHIN_MS } from '../../domain/wire/uplink.ts';
import type { NewReading, Outbox } from '../../gateway/outbox/outbox.ts';
import { openSqliteOutbox } from '../../gateway/outbox/sqlite-outbox.ts';
import { Uplink } from '../../gateway/uplink/uplink.ts';
import { SettableClock } from '../../host/clock.ts';
import { QUIET, until } from '../support/quiet.ts';
import { NOW } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { PretendServer } from './support/pretend-server.ts';

const HOUR_MS = 3_600_000;

function one(atMs: number): NewReading {
  return { owner: 'rig-a', point: 'pot-pressure', observedAtMs: atMs, receivedAtMs: atMs, value: 90, quality: 'good', reason: null, backlog: false };
}

interface Bench {
  readonly outbox: Outbox;
  readonly clock: SettableClock;
  link(name: string, server: PretendServer): Uplink;
}

function bench(uplinks: readonly string[] = ['here']): Bench {
  const outbox = openSqliteOutbox(join(tempDir(), 'outbox.db'), { uplinks, log: QUIET });
  const clock = new SettableClock(NOW);
  const links: Uplink[] = [];
  onTestFinished(async () => {
    await Promise.all(links.map((link) => link.stop()));
    await outbox.close();
  });
  const link = (name: string, server: PretendServer): Uplink => {
    const made = new Uplink({ outbox, target: { name, deliver: server.deliver }, site: 'pier-9', clock, log: QUIET });
    links.push(made);
    return made;
  };
  return { outbox, clock, link };
}

/** Eight hours, a reading every ten seconds, none of them sent. */
async function cutFor8Hours({ outbox, clock }: Bench): Promise<number> {
  await outbox.put(Array.from({ length: (8 * HOUR_MS) / 10_000 }, (_, at) => one(NOW + at * 10_000)));
  clock.set(NOW + 8 * HOUR_MS);
  return outbox.last();
}

const sequences = (server: PretendServer): number[] => server.readings.map(({ sequence }) => sequence);

describe('an uplink', () => {
  it('sends a batch again until the server has committed it, and then the rest', async () => {
    const { outbox, link } = bench();
    const server = new PretendServer();
    server.failing = true;
    await outbox.put([one(NOW), one(NOW)]);
    const uplink = link('here', server);
    await until(() => server.tries === 3, 'the third try');
    expect(uplink.status()).toMatchObject({ connected: false, waiting: 2, trouble: 'not now' });
    server.failing = false;
    await until(() => outbox.waiting() === 0, 'the outbox to empty');
    await outbox.put([one(NOW)]);
    await until(() => outbox.waiting() === 0, 'the outbox to empty again');
    expect(server.batches.map(({ readings }) => readings.map(({ sequence }) => sequence))).toEqual([[1, 2], [3]]);
    expect(uplink.status()).toMatchObject({ connected: true, waiting: 0, trouble: null });
  });

  it('after eight hours without a line: the last minute first, live; the rest beside it, in order, as backlog', async () => {
    const site = bench();
    const last = await cutFor8Hours(site);
    const server = new PretendServer();
    site.link('here', server);
    await until(() => site.outbox.waiting() === 0, 'the outbox to empty');
    expect(sequences(server).toSorted((a, b) => a - b)).toEqual(Array.from({ length: last }, (_, at) => at + 1));
    const of = (lane: string): number[] => server.batches.filter((batch) => batch.lane === lane).flatMap(({ readings }) => readings.map(({ sequence }) => sequence));
    expect(of('live')).toEqual(Array.from({ length: 6 }, (_, at) => last - 5 + at));
    expect(of('backlog')).toEqual(Array.from({ length: last - 6 }, (_, at) => at + 1));
    expect(server.batches[0]?.lane).toBe('live');
  });

  it('a reading that comes in during the backfill does not wait for it', async () => {
    const site = bench();
    const last = await cutFor8Hours(site);
    const server = new PretendServer();
    // A backlog that never ends: its first batch is not answered.
    let answer = (): void => undefined;
    const deliver = server.deliver;
    Object.assign(server, {
      deliver: async (batch: Parameters<typeof deliver>[0]) => {
        if (batch.lane === 'backlog') await new Promise<void>((resolve) => (answer = resolve));
        return deliver(batch);
      },
    });
    site.link('here', server);
    await until(() => server.readings.length === 6, 'the last minute');
    await site.outbox.put([one(NOW + 8 * HOUR_MS)]);
    await until(() => sequences(server).includes(last + 1), 'the new reading');
    expect(sequences(server)).toEqual([...Array.from({ length: 6 }, (_, at) => last - 5 + at), last + 1]);
    Object.assign(server, { deliver });
    await until(() => {
      answer();
      return site.outbox.waiting() === 0;
    }, 'the backlog to follow');
  });

  it('cut again in the middle of the backfill: nothing is lost, nothing comes twice', async () => {
    const site = bench();
    const server = new PretendServer();
    let last = await cutFor8Hours(site);
    const uplink = site.link('here', server);
    for (let cut = 0; cut < 3; cut += 1) {
      await until(() => server.readings.some(({ sequence }) => sequence === last), 'the live lane');
      server.failing = true;
      await site.outbox.put([one(site.clock.nowMs())]);
      await until(() => !uplink.status().connected, 'the cut');
      await site.outbox.put(Array.from({ length: 100 }, (_, at) => one(site.clock.nowMs() + at * 1_000)));
      site.clock.set(site.clock.nowMs() + 10 * LIVE_WITHIN_MS);
      await site.outbox.put([one(site.clock.nowMs())]);
      last = site.outbox.last();
      server.failing = false;
    }
    await until(() => site.outbox.waiting() === 0, 'the outbox to empty', 20_000);
    expect(sequences(server).toSorted((a, b) => a - b)).toEqual(Array.from({ length: last }, (_, at) => at + 1));
  });

  it('a restart of less than a minute stays live', async () => {
    const { outbox, clock, link } = bench();
    await outbox.put([one(NOW), one(NOW + 1)]);
    clock.set(NOW + LIVE_WITHIN_MS - 1);
    const server = new PretendServer();
    link('here', server);
    await until(() => outbox.waiting() === 0, 'the outbox to empty');
    expect(server.batches.map(({ lane }) => lane)).toEqual(['live']);
  });

  it('two servers each get everything; a dead one stops neither the other nor the intake', async () => {
    const { outbox, link } = bench(['here', 'office']);
    const [here, office] = [new PretendServer(), new PretendServer()];
    office.failing = true;
    const [first, second] = [link('here', here), link('office', office)];
    await outbox.put([one(NOW), one(NOW + 1)]);
    await until(() => first.status().waiting === 0, 'the server on site');
    expect(second.status()).toMatchObject({ connected: false, waiting: 2 });
    expect(outbox.read(0, 10)).toHaveLength(2);
    office.failing = false;
    await until(() => second.status().waiting === 0, 'the office');
    expect([sequences(here), sequences(office)]).toEqual([[1, 2], [1, 2]]);
    await outbox.put([one(NOW + 2)]);
    expect(outbox.read(0, 10).map(({ sequence }) => sequence)).toEqual([3]);
  });

  it('a server set back to an older backup gets again what is still there, and is told that the rest is not', async () => {
    const { outbox, link } = bench();
    const server = new PretendServer();
    const uplink = link('here', server);
    await outbox.put([one(NOW), one(NOW), one(NOW)]);
    await until(() => outbox.waiting() === 0, 'the outbox to empty');
    server.failing = true;
    server.ranges = [[0, 1]];
    server.readings.length = 0;
    // Its group deletes the three that the server had said it has.
    await outbox.put([one(NOW)]);
    await until(() => !uplink.status().connected, 'the restart');
    server.failing = false;
    await until(() => server.ranges[0]?.[1] === 4, 'everything to be accounted for');
    expect(sequences(server)).toEqual([4]);
  });

  it('an outbox that was set back to an older day goes on under a new epoch: a sequence the server has is not given a second time', async () => {
    const { outbox, link } = bench();
    const server = new PretendServer();
    const epochs: string[] = [];
    const byEpoch = new Map<string, PretendServer>();
    Object.assign(server, {
      deliver: (batch: Parameters<PretendServer['deliver']>[0]) => {
        epochs.push(batch.epoch);
        const own = byEpoch.get(batch.epoch) ?? new PretendServer();
        byEpoch.set(batch.epoch, own);
        // Under the first epoch the server has more than this file ever gave.
        if (batch.epoch === epochs[0]) own.ranges = [[0, 50]];
        return own.deliver(batch);
      },
    });
    await outbox.put([one(NOW), one(NOW)]);
    link('here', server);
    await until(() => outbox.waiting() === 0, 'the outbox to empty');
    await outbox.put([one(NOW)]);
    await until(() => outbox.waiting() === 0, 'the outbox to empty again');
    expect(new Set(epochs).size).toBe(2);
    expect(byEpoch.get(outbox.epoch)?.readings.map(({ sequence }) => sequence)).toEqual([1, 2, 3]);
  });
});
