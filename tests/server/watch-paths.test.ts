import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { SettableClock } from '../../host/clock.ts';
import { watchPaths } from '../../server/alarms/watch-paths.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import type { CommitUnit } from '../../server/record/store.ts';
import { QUIET, until } from '../support/quiet.ts';
import { batch, NOW } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

async function watched() {
  const { store } = openSqliteStore(join(tempDir(), 'record.db'));
  const path = { isFull: false, isBeaconConnected: true, pages: 1, untold: null as string | null };
  const commit = store.commit.bind(store);
  store.commit = (unit: CommitUnit) => (path.isFull ? Promise.reject(new Error('disk full')) : commit(unit));
  const clock = new SettableClock(NOW);
  const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: () => undefined });
  await writer.configure(testSite());
  const watch = watchPaths({ writer, clock, log: QUIET, isBeaconConnected: () => path.isBeaconConnected, pagesConnected: () => path.pages, untold: () => path.untold });
  onTestFinished(async () => {
    watch.stop();
    await writer.stop();
    await store.close();
  });
  let sequence = 0;
  const co = (value: number) => writer.take(batch([{ owner: 'rig-a', point: 'breathing-air-co', value, observedAtMs: clock.nowMs(), receivedAtMs: clock.nowMs(), quality: 'good', reason: null, backlog: false, sequence: ++sequence }]));
  const states = (): string[] => [...writer.state.alarms()].flatMap(({ bound, track }) => (track.occurrence ? [`${bound.rule.name} ${track.occurrence.state}`] : []));
  return { path, clock, writer, store, co, states };
}

it('a stretch without a record is told when it can be, with its beginning, and waits for somebody', async () => {
  const { path, clock, co, states, store } = await watched();
  path.isFull = true;
  await expect(co(2)).rejects.toThrow('disk full');
  await new Promise((resolve) => setTimeout(resolve, 1_200));
  path.isFull = false;
  clock.set(NOW + 60_000);
  await co(2);
  await until(() => states().includes('not-recording returned-to-normal-unacknowledged'), 'the alarm about the record');
  expect((await store.journal('pier-9', { limit: 50 })).map(({ detail }) => detail['detail'])).toContain('nothing was recorded since 2026-06-01T12:00:00.000Z');
});

it('an urgent alarm that neither horn nor screen can have told is an alarm of its own', async () => {
  const { path, clock, co, states } = await watched();
  path.isBeaconConnected = false;
  path.pages = 0;
  await co(15);
  await new Promise((resolve) => setTimeout(resolve, 1_200));
  for (let second = 5; second <= 60; second += 5) {
    clock.set(NOW + second * 1_000);
    await co(15);
    if (second === 20) await new Promise((resolve) => setTimeout(resolve, 1_200));
  }
  await until(() => states().includes('nobody-told unacknowledged') && states().includes('beacon-dead unacknowledged'), 'nobody told');
  path.pages = 1;
  path.isBeaconConnected = true;
  await until(async () => (clock.set(clock.nowMs() + 5_000), await co(15), states().includes('nobody-told returned-to-normal-unacknowledged')), 'somebody told');
});

it('a message that nobody took in time is told on the page and by the beacon, although both are there', async () => {
  const { path, co, states, store } = await watched();
  await co(2);
  path.untold = 'Carbon monoxide high (rig-a)';
  await until(() => states().includes('nobody-told unacknowledged'), 'nobody told');
  expect((await store.journal('pier-9', { limit: 50 })).map(({ detail }) => detail['detail'])).toContain('no message was handed over in time: Carbon monoxide high (rig-a)');
  path.untold = null;
  await until(async () => !(await store.journal('pier-9', { limit: 1 })).some(({ detail }) => detail['isDead'] === true), 'told');
});
