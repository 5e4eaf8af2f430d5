import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { SettableClock } from '../../host/clock.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import type { CommitUnit, Store } from '../../server/record/store.ts';
import { QUIET } from '../support/quiet.ts';
import { batch, NOW } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';
import { collect } from '../support/collect.ts';
import { openStoreAt, STORES } from '../support/stores.ts';

const co = (sequence: number, value: number, atMs = NOW): SequencedReading => ({ owner: 'rig-a', point: 'breathing-air-co', value, observedAtMs: atMs, receivedAtMs: atMs, quality: 'good', reason: null, backlog: false, sequence });

/** A store whose commits fail while `failing` says so. */
function flakyStore(store: Store, failing: () => boolean): Store {
  const commit = store.commit.bind(store);
  store.commit = (unit: CommitUnit) => (failing() ? Promise.reject(new Error('disk full')) : commit(unit));
  return store;
}

describe.each(STORES)('over %s', (kind) => {
  async function open(file: string, clock: SettableClock, failing = (): boolean => false): Promise<{ writer: SiteWriter; store: Store; samples: () => Promise<unknown[]> }> {
    const { store } = await openStoreAt(kind, file);
    const writer = await SiteWriter.open({ siteId: 'pier-9', store: flakyStore(store, failing), clock, log: QUIET, onCommitted: () => undefined });
    await writer.configure(testSite());
    return { writer, store, samples: async () => (await collect(store.samples('pier-9', 'rig-a', 'breathing-air-co', 0, NOW * 2))).map(({ value }) => value) };
  }

  describe('exactly once', () => {
    it('passes over what is committed, also after a restart', async () => {
      const file = join(tempDir(), 'record.db');
      const clock = new SettableClock(NOW);
      const first = await open(file, clock);
      await first.writer.take(batch([co(1, 1), co(2, 2)]));
      expect(await first.writer.take(batch([co(1, 1), co(2, 2), co(3, 3)]))).toEqual({ committed: 3, ranges: [[0, 3]] });
      await first.writer.stop();
      await first.store.close();
      const again = await open(file, clock);
      await again.writer.take(batch([co(2, 2), co(3, 3)]));
      await again.writer.take(batch([co(4, 4)]));
      expect(await again.samples()).toEqual([1, 2, 3, 4]);
      await again.writer.stop();
      await again.store.close();
    });

    it('takes nothing over from a commit that failed: no reading, no alarm, no acknowledgement', async () => {
      const file = join(tempDir(), 'record.db');
      let failing = false;
      const { writer, store, samples } = await open(file, new SettableClock(NOW), () => failing);
      failing = true;
      await expect(writer.take(batch([co(1, 15)]))).rejects.toThrow('disk full');
      expect(writer.isRecording).toBe(false);
      expect([...writer.state.alarms()].filter(({ track }) => track.occurrence)).toEqual([]);
      failing = false;
      await writer.take(batch([co(1, 15)]));
      expect(writer.isRecording).toBe(true);
      expect(await samples()).toEqual([15]);
      expect([...writer.state.alarms()].filter(({ track }) => track.occurrence)).toHaveLength(1);
      await writer.stop();
      await store.close();
    });
  });

  describe('after a crash', () => {
    it('an alarm stands with the same id and start, rebuilt from the log', async () => {
      const file = join(tempDir(), 'record.db');
      const clock = new SettableClock(NOW);
      const first = await open(file, clock);
      await first.writer.take(batch([co(1, 2)]));
      clock.set(NOW + 5_000);
      await first.writer.take(batch([co(2, 12.5, NOW + 5_000)]));
      const standing = [...first.writer.state.alarms()].map(({ track }) => track.occurrence).filter((held) => held !== null);
      // Not stopped: as if the process had been killed, with no state saved since the configuration.
      await first.store.close();
      clock.set(NOW + 9_000);
      const again = await open(file, clock);
      onTestFinished(() => again.store.close());
      expect([...again.writer.state.alarms()].map(({ track }) => track.occurrence).filter((held) => held !== null)).toEqual(standing);
      expect(standing).toMatchObject([{ state: 'unacknowledged', raisedAtMs: NOW + 5_000 }]);
      await again.writer.stop();
    });
  });

  describe('actions', () => {
    it('asked twice with one key are done once and answered alike', async () => {
      const { writer, store } = await open(join(tempDir(), 'record.db'), new SettableClock(NOW));
      await writer.take(batch([co(1, 15)]));
      const alarm = [...writer.state.alarms()].find(({ track }) => track.occurrence)?.track.occurrence?.id ?? '';
      const action = { kind: 'acknowledge', atRig: false, alarm, by: 'dana', role: 'supervisor', from: 'test', key: 'key-0001' } as const;
      expect(await writer.act(action)).toEqual(await writer.act(action));
      expect((await store.journal('pier-9', { limit: 50 })).filter(({ kind }) => kind === 'action')).toHaveLength(1);
      await writer.stop();
      await store.close();
    });
  });

  describe('late', () => {
    it.each<[string, SequencedReading]>([
      ['observed before the newest', co(2, 40, NOW - 30_000)],
      ['heard as history', { ...co(2, 40), backlog: true }],
      ['waited more than a minute', { ...co(2, 40), receivedAtMs: NOW - 61_000 }],
    ])('%s: recorded, and no alarm', async (_name, reading) => {
      const { writer, store, samples } = await open(join(tempDir(), 'record.db'), new SettableClock(NOW));
      await writer.take(batch([co(1, 2)]));
      await writer.take(batch([reading], NOW));
      expect(await samples()).toHaveLength(2);
      expect([...writer.state.alarms()].filter(({ track }) => track.occurrence)).toEqual([]);
      await writer.stop();
      await store.close();
    });
  });

  describe('what the record keeps of a batch', () => {
    it('whose outbox its readings came from and their sequences, so that a chain over them can be checked', async () => {
      const file = join(tempDir(), 'record.db');
      const { writer, store } = await open(file, new SettableClock(NOW));
      const delivered = [co(1, 2), { ...co(2, 40, NOW - 30_000), backlog: true }, { ...co(3, 0), value: null, quality: 'bad', reason: 'undecodable' } as const];
      await writer.take(batch(delivered));
      const entry = (await collect(store.readLog('pier-9', 0))).find(({ kind }) => kind === 'batch');
      expect(entry).toEqual({ kind: 'batch', seq: 2, atMs: NOW, origin: 'g1/e1', readings: delivered.map(({ backlog, ...reading }) => ({ ...reading, late: backlog })) });
      await writer.stop();
      await store.close();
    });
  });

  describe('a pause of the program', () => {
    const raised = async (store: Store): Promise<unknown[]> => (await store.journal('pier-9', { limit: 100 })).filter(({ kind, detail }) => kind === 'alarm' && detail['what'] === 'raised').map(({ detail }) => detail['name']);

    it('does not make an old value look live: it is doubtful until its sensor speaks', async () => {
      const file = join(tempDir(), 'record.db');
      const clock = new SettableClock(NOW);
      const first = await open(file, clock);
      await first.writer.take(batch([co(1, 2)]));
      await first.store.close();
      clock.set(NOW + 300_000);
      const again = await open(file, clock);
      await again.writer.act({ kind: 'start-shift', rig: 'rig-b', by: 'dana', role: 'supervisor', from: 'test', key: 'one' });
      expect(again.writer.state.point('rig-a', 'breathing-air-co')).toMatchObject({ value: 2, quality: 'uncertain', reason: 'stale' });
      await again.writer.take(batch([co(2, 3, NOW + 300_000)]));
      expect(again.writer.state.point('rig-a', 'breathing-air-co')).toMatchObject({ value: 3, quality: 'good', reason: null });
      await again.writer.stop();
      await again.store.close();
    });

    it('is no silence of the sensors: they are given their time to speak anew, and the journal tells of it', async () => {
      const file = join(tempDir(), 'record.db');
      const clock = new SettableClock(NOW);
      const first = await open(file, clock);
      await first.writer.act({ kind: 'hood-in', rig: 'rig-a', name: 'Ray', by: 'dana', role: 'supervisor', from: 'test', key: 'one' });
      await first.writer.take(batch([co(1, 2)]));
      await first.store.close();
      clock.set(NOW + 300_000);
      const again = await open(file, clock);
      await again.writer.take(batch([co(2, 2, NOW + 300_000)]));
      expect(await raised(again.store)).toEqual([]);
      expect((await again.store.journal('pier-9', { limit: 100 })).filter(({ kind }) => kind === 'unheard').map(({ detail }) => detail)).toEqual([{ fromMs: NOW }]);
      // A sensor that stays silent is found out all the same.
      clock.set(NOW + 335_000);
      await again.writer.act({ kind: 'start-shift', rig: 'rig-b', by: 'dana', role: 'supervisor', from: 'test', key: 'two' });
      expect(again.writer.state.point('rig-a', 'breathing-air-co')).toMatchObject({ quality: 'bad', reason: 'stale' });
      expect(await raised(again.store)).not.toEqual([]);
      await again.writer.stop();
      await again.store.close();
    });
  });
});
