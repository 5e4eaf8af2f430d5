import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { SettableClock } from '../../host/clock.ts';
import { findLater } from '../../server/intake/find-later.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import { QUIET, until } from '../support/quiet.ts';
import { batch, NOW } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';
import { openStoreAt, STORES } from '../support/stores.ts';

const co = (sequence: number, second: number, value: number, backlog: boolean): SequencedReading => {
  const atMs = NOW + second * 1000;
  return { owner: 'rig-a', point: 'breathing-air-co', value, observedAtMs: atMs, receivedAtMs: atMs, quality: 'good', reason: null, backlog, sequence };
};

describe.each(STORES)('over %s', (kind) => {
  it('an excursion in readings that come after a cut is found later: in the journal, without an alarm, and once', async () => {
    const { store } = await openStoreAt(kind, join(tempDir(), 'record.db'));
    const clock = new SettableClock(NOW);
    const told: string[] = [];
    const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: (_writer, effects) => told.push(...effects.flatMap(({ transitions }) => transitions.map(({ rule }) => rule.name))) });
    await writer.configure(testSite());
    const watch = findLater({ writer, store, clock, log: QUIET });
    onTestFinished(async () => {
      await watch.stop();
      await store.close();
    });
    let sequence = 0;
    // Live until the cut, and live again after ten minutes.
    for (let second = 0; second < 60; second += 1) {
      clock.set(NOW + second * 1000);
      await writer.take(batch([co(++sequence, second, 2, false)]));
    }
    clock.set(NOW + 660_000);
    await writer.take(batch([co(++sequence, 660, 2, false)]));
    const liveBefore = JSON.stringify([...writer.state.alarms()].map(({ track }) => track.occurrence));
    told.length = 0;
    // The ten minutes, one second twice: 40 ppm from second 300 to 359.
    const late = Array.from({ length: 600 }, (_, index) => co(++sequence, 60 + index, index >= 240 && index < 300 ? (index === 270 ? 55 : 40) : 2, true));
    await writer.take(batch(late));
    expect(writer.state.late).toMatchObject({ fromMs: NOW + 60_000, toMs: NOW + 659_000 });
    clock.set(NOW + 670_000);
    await until(() => writer.state.late === null, 'the second look', 15_000);
    const found = (await store.journal('pier-9', { limit: 100 })).filter(({ kind }) => kind === 'found-later');
    expect(found.map(({ owner, detail }) => [owner, detail['name']])).toContainEqual(['rig-a', 'co-high']);
    const high = found.find(({ detail }) => detail['name'] === 'co-high');
    expect(high?.detail).toMatchObject({ fromMs: NOW + 300_000, toMs: NOW + 360_000, value: 55, limit: 10, unit: '[ppm]' });
    expect(found.filter(({ detail }) => detail['name'] === 'co-high')).toHaveLength(1);
    // No horn: nothing live was touched.
    expect(told.filter((name) => name.startsWith('co-'))).toEqual([]);
    expect(JSON.stringify([...writer.state.alarms()].map(({ track }) => track.occurrence))).toBe(liveBefore);

    // What was told live is not told again by a reading that comes late.
    clock.set(NOW + 700_000);
    await writer.take(batch([co(++sequence, 700, 20, false)]));
    await writer.take(batch([co(++sequence, 699, 30, true)]));
    clock.set(NOW + 710_000);
    await until(() => writer.state.late === null, 'the second look', 15_000);
    expect((await store.journal('pier-9', { limit: 100 })).filter(({ kind, detail }) => kind === 'found-later' && detail['name'] === 'co-high')).toHaveLength(1);
    await writer.stop();
  });
});
