import { join } from 'node:path';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { STATE_TESTS } from '../../domain/alarms/state-tests/state-tests.ts';
import type { StateTest } from '../../domain/alarms/view.ts';
import type { Action } from '../../domain/site/log.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { SettableClock } from '../../host/clock.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import type { Store } from '../../server/record/store.ts';
import { QUIET } from '../support/quiet.ts';
import { batch, NOW } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { openStoreAt, STORES, type StoreKind } from '../support/stores.ts';
import { tempDir } from '../support/temp-dir.ts';
import { collect } from '../support/collect.ts';

afterEach(() => void vi.restoreAllMocks());

interface Site {
  readonly writer: SiteWriter;
  readonly store: Store;
  readonly clock: SettableClock;
  standing(): string[];
  values(point: string): Promise<(number | null)[]>;
  journal(kind: string): Promise<Record<string, unknown>[]>;
  close(): Promise<void>;
}

async function openSite(kind: StoreKind, file: string, clock = new SettableClock(NOW)): Promise<Site> {
  const { store } = await openStoreAt(kind, file);
  const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: () => undefined });
  await writer.configure(testSite());
  return {
    writer,
    store,
    clock,
    standing: () => [...writer.state.alarms()].flatMap(({ bound, track }) => (track.occurrence ? [bound.rule.name] : [])).sort(),
    values: async (point) => (await store.readings('pier-9', 'rig-a', point, 0, NOW * 2)).map(({ value }) => value),
    journal: async (kind) => (await store.journal('pier-9', { limit: 500 })).filter((item) => item.kind === kind).map(({ detail }) => detail).toReversed(),
    close: async () => {
      await writer.stop();
      await store.close();
    },
  };
}

const reading = (sequence: number, point: string, value: number, atMs = NOW): SequencedReading => ({ owner: 'rig-a', point, value, observedAtMs: atMs, receivedAtMs: atMs, quality: 'good', reason: null, backlog: false, sequence });
const startShift = (key: string): Action => ({ kind: 'start-shift', rig: 'rig-a', by: 'dana', role: 'supervisor', from: 'test', key });

/** Makes one of the alarm tests fail as a fault of ours would. */
function breakTest(name: keyof typeof STATE_TESTS): void {
  const broken: StateTest = () => {
    throw new TypeError('a fault of the program');
  };
  vi.spyOn(STATE_TESTS as Record<string, StateTest>, name).mockImplementation(broken);
}

describe.each(STORES)('over %s', (kind) => {
  const open = (file: string, clock?: SettableClock): Promise<Site> => openSite(kind, file, clock);

  it('an alarm whose judging throws fails alone: the reading is recorded, the other alarms are judged, and it is told once', async () => {
    breakTest('co-rising');
    const file = join(tempDir(), 'record.db');
    const site = await open(file);
    for (let second = 0; second < 30; second += 1) {
      site.clock.set(NOW + second * 1000);
      await site.writer.take(batch([reading(second + 1, 'breathing-air-co', second < 20 ? 2 : 15, NOW + second * 1000)]));
    }
    expect(await site.values('breathing-air-co')).toHaveLength(30);
    expect(site.standing()).toEqual(expect.arrayContaining(['co-high', 'not-judged']));
    expect(await site.journal('quarantine')).toEqual([{ what: 'alarm co-rising@rig-a/breathing-air-co', reason: 'a fault of the program' }]);
    const told = await site.journal('alarm');

    // A replay of the same log with the same program comes out the same, byte for byte.
    const evaluator = new SiteEvaluator('pier-9');
    const moves = (await collect(site.store.readLog('pier-9', 0))).flatMap((entry) => evaluator.apply(entry).transitions);
    expect(moves.map(({ occurrence, what, atMs }) => [occurrence.id, what, atMs, occurrence.state])).toEqual(told.map((detail, index) => [detail['alarm'], detail['what'], moves[index]?.atMs, detail['to']]));
    expect(JSON.stringify(evaluator.save())).toBe(JSON.stringify(site.writer.state.save()));

    // Ten minutes after the last failure the alarm about it has gone by itself.
    vi.restoreAllMocks();
    site.clock.set(NOW + 700_000);
    await site.writer.take(batch([reading(31, 'breathing-air-co', 2, NOW + 700_000)]));
    expect([...site.writer.state.alarms()].find(({ bound }) => bound.rule.name === 'not-judged')?.track.occurrence?.state).toBe('returned-to-normal-unacknowledged');
    await site.close();
  });

  it('an action that makes the fold throw is refused, kept in quarantine and passed over in every replay; what came with it is done', async () => {
    const file = join(tempDir(), 'record.db');
    const site = await open(file);
    const apply = SiteEvaluator.prototype.apply;
    vi.spyOn(SiteEvaluator.prototype, 'apply').mockImplementation(function (this: SiteEvaluator, entry) {
      const effects = apply.call(this, entry);
      // After the state has been changed: what is left of it must not be used.
      if (entry.kind === 'action' && entry.action.key === 'poison-1') throw new Error('it threw');
      return effects;
    });
    const [before, poisoned, after] = await Promise.all([site.writer.take(batch([reading(1, 'breathing-air-co', 15)])), site.writer.act(startShift('poison-1')), site.writer.take(batch([reading(2, 'pot-pressure', 100)]))]);
    expect([before, after]).toMatchObject([{ committed: 2 }, { committed: 2 }]);
    expect(poisoned).toMatchObject({ refusal: expect.stringContaining('set aside'), shift: null });
    expect(site.writer.isRecording).toBe(true);
    expect(site.writer.state.shifts).toEqual([]);
    expect(site.standing()).toEqual(['co-high', 'not-judged']);
    expect(await site.journal('quarantine')).toMatchObject([{ what: 'entry action', reason: 'it threw', held: expect.stringContaining('poison-1') }]);
    expect((await site.writer.act(startShift('good-1'))).refusal).toBeNull();
    await site.close();

    const again = await open(file);
    expect(again.standing()).toEqual(expect.arrayContaining(['co-high', 'not-judged']));
    expect(again.writer.state.shifts).toHaveLength(1);
    await again.close();
  });

  it('a batch that no disk would take is kept in quarantine, acknowledged, and does not take others of its commit with it', async () => {
    const site = await open(join(tempDir(), 'record.db'));
    const broken = { ...reading(2, 'pot-pressure', 90), quality: null as unknown as 'good' };
    const answers = await Promise.all([site.writer.take(batch([reading(1, 'pot-pressure', 80)])), site.writer.take(batch([broken])), site.writer.take(batch([reading(3, 'pot-pressure', 100)]))]);
    expect(answers).toMatchObject([{ committed: 1 }, { committed: 2 }, { committed: 3 }]);
    expect(await site.values('pot-pressure')).toEqual([80, 100]);
    expect(await site.journal('quarantine')).toMatchObject([{ what: 'entry batch', held: expect.stringContaining('"value":90') }]);
    expect(site.writer.isRecording).toBe(true);
    await site.close();
  });

  it('a damaged row of the log does not keep the site from starting: it is passed over, alike at each start', async () => {
    const file = join(tempDir(), 'record.db');
    const first = await open(file);
    await first.writer.act(startShift('one'));
    const seq = first.writer.state.seq;
    await first.writer.take(batch([reading(1, 'breathing-air-co', 15)]));
    await first.store.close();
    const { sql, store } = await openStoreAt(kind, file);
    await sql.run("UPDATE log SET body = '{\"act' WHERE seq = ?", seq);
    await sql.run('DELETE FROM snapshot');
    await store.close();
    for (let start = 0; start < 2; start += 1) {
      const again = await open(file);
      expect(again.standing()).toEqual(expect.arrayContaining(['co-high', 'not-judged']));
      expect(await again.values('breathing-air-co')).toEqual([15]);
      await again.store.close();
    }
  });
});
