import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { SettableClock } from '../../host/clock.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import type { Store } from '../../server/record/store.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import { addSupervisor, signIn } from '../support/potside-process.ts';
import { QUIET, until } from '../support/quiet.ts';
import { batch, NOW, sequenced } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';
import { ask, compare, NOTHING_WRONG, Sender, siteOnDisk, storedValues } from './support/site-process.ts';

describe('#3 the server dies between', () => {
  /** A store in which the process ends at one place: what is before it is on disk, what is after it never happens. */
  const dying = (store: Store, at: 'before the commit' | 'after the commit'): Store => {
    const commit = store.commit.bind(store);
    let isDead = false;
    store.commit = async (unit) => {
      const raises = unit.logged.some(({ effects }) => effects.transitions.length > 0);
      if (isDead || (raises && at === 'before the commit')) return ((isDead = true), new Promise(() => undefined));
      await commit(unit);
      if (raises) return ((isDead = true), new Promise(() => undefined));
    };
    return store;
  };

  it.each(['before the commit', 'after the commit'] as const)('the decision that there is an alarm, and what follows: %s', async (at) => {
    const file = join(tempDir(), 'record.db');
    const clock = new SettableClock(NOW);
    const { store } = openSqliteStore(file);
    const told: unknown[] = [];
    const writer = await SiteWriter.open({ siteId: 'pier-9', store: dying(store, at), clock, log: QUIET, onCommitted: (_writer, effects) => told.push(...effects.flatMap(({ transitions }) => transitions)) });
    await writer.configure(testSite());
    const high = batch([sequenced('breathing-air-co', 15, NOW, 1)]);
    let isAcknowledged = false;
    void writer.take(high).then(() => (isAcknowledged = true));
    await new Promise((resolve) => setTimeout(resolve, 50));
    // Nobody was told anything, and the gateway was not told that it may forget.
    expect([isAcknowledged, told]).toEqual([false, []]);
    await store.close();

    const again = openSqliteStore(file).store;
    const next = await SiteWriter.open({ siteId: 'pier-9', store: again, clock, log: QUIET, onCommitted: () => undefined });
    await next.configure(testSite());
    await next.take(high);
    const raised = (await again.journal('pier-9', { limit: 50 })).filter(({ kind, detail }) => kind === 'alarm' && detail['what'] === 'raised' && detail['name'] === 'co-high');
    expect(raised).toHaveLength(1);
    expect(await again.readings('pier-9', 'rig-a', 'breathing-air-co', 0, NOW * 2)).toHaveLength(1);
    // A page that opens now is shown it.
    expect([...next.state.alarms()].filter(({ track }) => track.occurrence?.state === 'unacknowledged').map(({ bound }) => bound.rule.name)).toEqual(['co-high']);
    await next.stop();
    await again.close();
  });
});

it('#5 frozen for 15 s and let go: no burst of alarms about silence, and nothing acknowledged is lost', async () => {
  const site = siteOnDisk();
  addSupervisor(site.dataDir);
  const potside = await site.start();
  const sender = new Sender();
  await sender.connect(potside.ready.mqtt);
  const enter = await signIn(potside.ready.url);
  const hood = await fetch(`${potside.ready.url}/api/rigs/rig-a/hood-in`, { method: 'POST', headers: { cookie: enter.cookie, 'content-type': 'application/json' }, body: JSON.stringify({ name: 'Ray' }) });
  expect(hood.status).toBe(200);
  const beat = setInterval(() => {
    sender.send(2);
    sender.say('potside/pier-9/rig-a/breathing-air-co', '2');
  }, 200);
  await until(() => sender.acknowledged.size >= 10, 'the first acknowledgements');
  potside.child.kill('SIGSTOP');
  await new Promise((resolve) => setTimeout(resolve, 15_000));
  potside.child.kill('SIGCONT');
  const before = sender.acknowledged.size;
  await until(() => sender.acknowledged.size > before + 20, 'acknowledgements again', 15_000);
  clearInterval(beat);
  const page = enter;
  const { items } = await page.get('/api/journal?limit=200');
  expect(items.filter(({ detail }: any) => detail.what === 'raised' && ['pot-pressure', 'breathing-air-co'].includes(detail.point)).map(({ text }: any) => text)).toEqual([]);
  // On a busy machine there may be other pauses beside ours.
  expect(items.filter(({ kind }: any) => kind === 'unheard').length).toBeGreaterThan(0);
  await until(async () => (await ask(`${potside.ready.url}/api/ready`)).gateway.waiting === 0, 'the outbox to empty');
  await potside.end('SIGTERM');
  expect(compare(sender, storedValues(site.dataDir, 'pot-pressure')).lost).toEqual([]);
});

it('#6 with little memory and a flood of messages, what was acknowledged is stored, whether the process lives or not', async () => {
  const site = siteOnDisk();
  const potside = await site.start({ env: { NODE_OPTIONS: '--max-old-space-size=64' } });
  const sender = new Sender();
  await sender.connect(potside.ready.mqtt);
  for (let burst = 0; burst < 16; burst += 1) {
    sender.send(500);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  await new Promise((resolve) => setTimeout(resolve, 1_000));
  await potside.end('SIGKILL');
  const again = await site.start();
  await until(async () => (await ask(`${again.ready.url}/api/ready`)).gateway.waiting === 0, 'the outbox to empty', 90_000);
  await again.end('SIGTERM');
  expect(sender.acknowledged.size).toBeGreaterThan(500);
  expect(compare(sender, storedValues(site.dataDir, 'pot-pressure'))).toEqual(NOTHING_WRONG);
});
