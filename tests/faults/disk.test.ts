import { spawnSync } from 'node:child_process';
import { closeSync, fsyncSync, ftruncateSync, openSync, rmSync, statSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { migrate, openSqlite } from '../../host/open-sqlite.ts';
import { runPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { tempDir } from '../support/temp-dir.ts';
import { NO_STRACE, NO_TMPFS, smallDisk } from './support/kernel.ts';
import { ask, compare, NOTHING_WRONG, readText, Sender, siteOnDisk, storedValues } from './support/site-process.ts';

const drained = async (url: string): Promise<boolean> => (await ask(`${url}/api/ready`)).gateway.waiting === 0;

describe('#10 #11 a full disk', () => {
  it.skipIf(NO_TMPFS)('stops the acknowledgements, is told, and costs nothing that was acknowledged; with room again all goes on', async () => {
    const disk = smallDisk(24);
    const site = siteOnDisk({ dataDir: disk });
    const potside = await site.start();
    const sender = new Sender();
    await sender.connect(potside.ready.mqtt);
    sender.send(200);
    await until(() => sender.acknowledged.size === 200, 'the first acknowledgements');
    fill(join(disk, 'filler'));
    for (let burst = 0; burst < 40; burst += 1) sender.send(50);
    const isReady = async (): Promise<boolean> => (await fetch(`${potside.ready.url}/api/ready`)).ok;
    // Either the gateway's outbox or the server's record finds the disk full first; in both cases it is told.
    await until(async () => !(await isReady()) || /could not be put on disk|not recording/.test(potside.log()), 'the full disk to be told', 15_000);
    const whileFull = sender.acknowledged.size;
    rmSync(join(disk, 'filler'));
    const again = new Sender();
    again.sent = sender.sent;
    await until(async () => {
      await again.leave();
      await again.connect(potside.ready.mqtt);
      again.send(10);
      await new Promise((resolve) => setTimeout(resolve, 300));
      return again.acknowledged.size > 0;
    }, 'acknowledgements again', 30_000);
    await until(() => drained(potside.ready.url), 'the outbox to empty', 60_000);
    await potside.end('SIGTERM');
    const stored = storedValues(disk, 'pot-pressure');
    expect(whileFull).toBeGreaterThanOrEqual(200);
    for (const one of [sender, again]) expect(compare(one, stored).lost).toEqual([]);
    expect(new Set(stored).size).toBe(stored.length);
  });
});

/** Leaves no free block. */
function fill(file: string): void {
  spawnSync('sh', ['-c', `dd if=/dev/zero of=${file} bs=4k 2>/dev/null`]);
}

describe('#12 a disk that fails', () => {
  // The n-th call of the whole process fails, and the few after it, in the outbox or in the record as it comes.
  const FAULTS = ['fsync:error=EIO:when=12..14', 'fsync:error=EIO:when=60..90', 'fsync:error=EIO:when=101', 'pwrite64:error=ENOSPC:when=60..70', 'pwrite64:error=EIO:when=150..155'];

  it.skipIf(NO_STRACE).each(FAULTS)('%s: nothing acknowledged is lost, nothing stored twice', async (fault) => {
    const site = siteOnDisk();
    const call = fault.split(':')[0] ?? '';
    const calls = join(tempDir(), 'calls');
    const under = { wrap: ['strace', '-D', '-f', '-qq', '-o', calls, '-e', `trace=${call}`, '-e', `inject=${fault}`] };
    // It may already fail while it starts: then it says so and ends, and nothing was acknowledged.
    const potside = await site.start(under).catch(() => null);
    const sender = new Sender();
    if (potside) {
      // Until the call failed, and a moment longer.
      let hasFailed = false;
      for (let endAt = performance.now() + 40_000; performance.now() < endAt; ) {
        if (!hasFailed && readText(calls).includes('(INJECTED)')) [hasFailed, endAt] = [true, performance.now() + 2_500];
        await sender.connect(potside.ready.mqtt).catch(() => undefined);
        for (let burst = 0; burst < 10; burst += 1) {
          sender.send(10);
          await new Promise((resolve) => setTimeout(resolve, 30));
        }
        await sender.leave();
      }
      await potside.end('SIGKILL');
    }
    const well = await site.start();
    await until(() => drained(well.ready.url), 'the outbox to empty', 20_000);
    await well.end('SIGTERM');
    expect(compare(sender, storedValues(site.dataDir, 'pot-pressure'))).toEqual(NOTHING_WRONG);
    expect(readText(calls)).toContain('(INJECTED)');
    if (potside) expect(sender.acknowledged.size).toBeGreaterThan(50);
  });
});

it('#13 a record locked by another program for a second is waited for, and nothing is lost', async () => {
  const site = siteOnDisk();
  const potside = await site.start();
  const sender = new Sender();
  await sender.connect(potside.ready.mqtt);
  sender.send(50);
  await until(() => sender.acknowledged.size === 50, 'the first acknowledgements');
  const other = openSqlite(join(site.dataDir, 'record.db'));
  other.exec('BEGIN IMMEDIATE');
  sender.send(100);
  await new Promise((resolve) => setTimeout(resolve, 1_000));
  other.exec('ROLLBACK');
  other.close();
  await until(() => sender.acknowledged.size === 150, 'all acknowledgements', 15_000);
  await until(() => drained(potside.ready.url), 'the outbox to empty', 15_000);
  await potside.end('SIGTERM');
  expect(compare(sender, storedValues(site.dataDir, 'pot-pressure'))).toEqual(NOTHING_WRONG);
});

describe('#7 the power goes', () => {
  it('and leaves torn, unsynced bytes behind the last commit: it opens clean, with all that was acknowledged', async () => {
    const site = siteOnDisk();
    const sender = new Sender();
    for (let round = 0; round < 3; round += 1) {
      const potside = await site.start();
      await sender.connect(potside.ready.mqtt);
      sender.send(300);
      await until(() => sender.acknowledged.size >= 100 + 300 * round, 'some acknowledgements');
      await potside.end('SIGKILL');
      await sender.leave();
      for (const file of ['record.db-wal', 'outbox.db-wal']) tear(join(site.dataDir, file), round);
    }
    const last = await site.start();
    await until(() => drained(last.ready.url), 'the outbox to empty', 15_000);
    await last.end('SIGTERM');
    expect(compare(sender, storedValues(site.dataDir, 'pot-pressure'))).toEqual(NOTHING_WRONG);
  });
});

/** A half-written page behind what was synced, as a disk leaves it whose power went in the middle of a write. */
function tear(file: string, round: number): void {
  const { size } = statSync(file);
  const handle = openSync(file, 'r+');
  const torn = Buffer.alloc(2_000 + round * 700, 0xa5);
  // The header of a real frame, so that only the checksum can tell.
  writeSync(handle, torn, 0, torn.byteLength, size);
  ftruncateSync(handle, size + torn.byteLength);
  fsyncSync(handle);
  closeSync(handle);
}

it('#14 a record that is damaged is refused with a message that names the file, and is left as it is', async () => {
  const site = siteOnDisk();
  const potside = await site.start();
  await potside.end('SIGTERM');
  const file = join(site.dataDir, 'record.db');
  const record = openSqlite(file);
  record.pragma('wal_checkpoint(TRUNCATE)');
  record.close();
  const handle = openSync(file, 'r+');
  writeSync(handle, Buffer.alloc(100, 0x5a), 0, 100, 0);
  closeSync(handle);
  const { size } = statSync(file);
  writeFileSync(join(site.dataDir, 'site.yaml'), 'site: { id: pier-9, name: Pier 9, zone: UTC }\nrigs: [{ id: rig-a }]\n');
  const { code, err } = runPotside(['serve', '--config', join(site.dataDir, 'site.yaml'), '--data', site.dataDir, '--port', '0', '--mqtt-port', '0', '--json']);
  expect(code).not.toBe(0);
  expect(err).toContain('record.db');
  expect(err).toMatch(/damaged/);
  expect(statSync(file).size).toBe(size);
});

it('#18 a migration that is interrupted is as if it had not begun, and is done at the next start', () => {
  const file = join(tempDir(), 'some.db');
  const first = openSqlite(file);
  expect(() => migrate(first, ['CREATE TABLE a (x)', 'CREATE TABLE b (x); INSERT INTO nowhere VALUES (1)'])).toThrow();
  first.close();
  const again = openSqlite(file);
  expect(again.prepare('PRAGMA user_version').get()).toMatchObject({ user_version: 1 });
  migrate(again, ['CREATE TABLE a (x)', 'CREATE TABLE b (x)']);
  expect(again.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name").raw().all()).toEqual([['a'], ['b']]);
  again.close();
});
