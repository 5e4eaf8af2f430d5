import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import type { NewReading } from '../../gateway/outbox/outbox.ts';
import { openSqliteOutbox } from '../../gateway/outbox/sqlite-outbox.ts';
import { Uplink } from '../../gateway/uplink/uplink.ts';
import { nextHash, startHash } from '../../host/chain-hash.ts';
import { SettableClock } from '../../host/clock.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import { QUIET, until } from '../support/quiet.ts';
import { NOW } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const of = (owner: string, value: number, atMs: number): NewReading => ({ owner, point: 'pot-pressure', observedAtMs: atMs, receivedAtMs: atMs, value, quality: 'good', reason: null, backlog: false });

it('the links of a gateway’s chains reach the record with the readings, and recompute from what the record holds', async () => {
  const dir = tempDir();
  const clock = new SettableClock(NOW);
  const outbox = openSqliteOutbox(join(dir, 'outbox.db'), { uplinks: ['here'], log: QUIET });
  const { store, database } = openSqliteStore(join(dir, 'record.db'));
  const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: () => undefined });
  await writer.configure(testSite());
  // Two groups before the link stands, so that a batch has more than one link of an owner.
  await outbox.put([of('rig-a', 90, NOW), of('rig-b', 80, NOW), of('rig-a', 91, NOW + 1)]);
  await outbox.put([of('rig-a', 92, NOW + 2)]);
  const uplink = new Uplink({ outbox, target: { name: 'here', deliver: (batch) => writer.take(batch) }, site: 'pier-9', clock, log: QUIET });
  onTestFinished(async () => {
    await uplink.stop();
    await outbox.close();
    await writer.stop();
    await store.close();
  });
  await until(() => outbox.waiting() === 0, 'the first readings');
  clock.set(NOW + 10_000);
  await outbox.put([of('rig-b', 81, NOW + 10_000), of('rig-a', 93, NOW + 10_000)]);
  await until(() => outbox.waiting() === 0, 'the rest');

  const rows = database.prepare('SELECT owner, point, observed_ms AS observedAtMs, received_ms AS receivedAtMs, value, quality, reason, sequence FROM reading JOIN series ON series.id = reading.series ORDER BY sequence').all() as SequencedReading[];
  for (const [owner, groups] of [['rig-a', 3], ['rig-b', 2]] as const) {
    const links = await store.chainLinks('pier-9', owner, NOW, NOW + 60_000);
    expect(links).toHaveLength(groups);
    let [hash, after] = [startHash(outbox.gateway, outbox.epoch, owner), 0];
    for (const link of links) {
      hash = nextHash(hash, rows.filter((row) => row.owner === owner && row.sequence > after && row.sequence <= link.through));
      expect(link).toEqual({ gateway: outbox.gateway, epoch: outbox.epoch, owner, through: link.through, receivedAtMs: expect.any(Number), hash });
      after = link.through;
    }
  }
  // A stretch comes with the link before it and the one that covers its end.
  expect((await store.chainLinks('pier-9', 'rig-a', NOW + 2, NOW + 5)).map(({ through }) => through)).toEqual([3, 4, 6]);
  // A changed value is found.
  const [, second] = await store.chainLinks('pier-9', 'rig-a', NOW, NOW + 60_000);
  const forged = rows.filter(({ sequence }) => sequence === 4).map((row) => ({ ...row, value: 99 }));
  expect(nextHash((await store.chainLinks('pier-9', 'rig-a', NOW, NOW))[0]?.hash ?? '', forged)).not.toBe(second?.hash);
});

it('goes on over a restart of the gateway', async () => {
  const file = join(tempDir(), 'outbox.db');
  const open = (): ReturnType<typeof openSqliteOutbox> => openSqliteOutbox(file, { uplinks: ['here'], log: QUIET });
  const first = open();
  await first.put([of('rig-a', 90, NOW)]);
  const [before] = first.links(0, 9);
  // The readings and links go, the newest hash stays.
  first.release('here', 1);
  await first.close();
  const again = open();
  await again.put([of('rig-a', 91, NOW + 1)]);
  expect(again.links(0, 9)).toEqual([{ owner: 'rig-a', through: 2, receivedAtMs: NOW + 1, hash: nextHash(before?.hash ?? '', again.read(0, 9)) }]);
  await again.close();
});
