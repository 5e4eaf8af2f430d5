import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { migrate, openSqlite, type Sqlite } from '../../../host/open-sqlite.ts';
import { RECORD_MIGRATIONS } from '../../../server/record/migrations.ts';
import { openSqliteStore, storeOver } from '../../../server/record/sqlite-store.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { answersOf, recordTrouble } from '../../support/troubled-record.ts';
import { collect } from '../../support/collect.ts';

const rowsIn = (database: Sqlite, table: string): number => (database.prepare(`SELECT count(*) AS n FROM ${table}`).get() as { n: number }).n;

async function packAll(store: { packNext(site: string): Promise<boolean> }): Promise<number> {
  let packed = 0;
  while (await store.packNext('pier-9')) packed += 1;
  return packed;
}

describe('packing', () => {
  it('leaves the log, every sample, its quality, reason, lateness, order and times as they were', async () => {
    const { store, database } = openSqliteStore(join(tempDir(), 'record.db'));
    await recordTrouble(store, 6);
    const before = await answersOf(store);
    const rows = rowsIn(database, 'reading');
    // Started at ten past six, ended at ten past twelve: 6, 7, 8, 9 and 10 o'clock are over for ten minutes.
    expect(await packAll(store)).toBe(5);
    expect(rowsIn(database, 'reading')).toBeLessThan(rows / 4);
    expect(rowsIn(database, 'reading') + (database.prepare("SELECT sum(count) AS n FROM block JOIN series ON series.id = series WHERE point IN ('supply-pressure', 'breathing-air-co', 'air-line-dew-point', 'nozzle-pressure', 'air-flow', 'ambient-humidity')").get() as { n: number }).n).toBe(rows);
    expect(await answersOf(store)).toEqual(before);
    await store.close();
  });

  it('reads the same from any place in the log, also when it is packed while somebody reads', async () => {
    const { store } = openSqliteStore(join(tempDir(), 'record.db'));
    await recordTrouble(store, 5, 2);
    const log = (await collect(store.readLog('pier-9', 0)));
    const reading = store.readLog('pier-9', 0)[Symbol.asyncIterator]();
    const seen: unknown[] = [(await reading.next()).value, (await reading.next()).value];
    await packAll(store);
    for (let step = await reading.next(); !step.done; step = await reading.next()) seen.push(step.value);
    expect(seen).toEqual(log);
    for (const after of [1, 2, 100, 333, log.length - 1]) expect(await collect(store.readLog('pier-9', after, after + 400))).toEqual(log.slice(after, after + 400));
    await store.close();
  });

  it('takes what comes late for a packed hour into the next revision of its block', async () => {
    const { store, database } = openSqliteStore(join(tempDir(), 'record.db'));
    await recordTrouble(store, 8, 3);
    await packAll(store);
    const revisions = database.prepare('SELECT max(revision) AS most FROM block').get() as { most: number };
    expect(revisions.most).toBeGreaterThan(1);
    await store.close();
  });

  it('tells a damaged block instead of drawing it', async () => {
    const file = join(tempDir(), 'record.db');
    const { store, database } = openSqliteStore(file);
    await recordTrouble(store, 4);
    await packAll(store);
    const { bytes, rowid } = database.prepare("SELECT block.rowid, bytes FROM block JOIN series ON series.id = series WHERE point = 'supply-pressure' LIMIT 1").get() as { rowid: number; bytes: Buffer };
    for (const damaged of [bytes.subarray(0, bytes.length - 40), Buffer.from(bytes.map((byte, i) => (i === bytes.length >> 1 ? byte ^ 1 : byte)))]) {
      database.prepare('UPDATE block SET bytes = ? WHERE rowid = ?').run(damaged, rowid);
      await expect(answersOf(store)).rejects.toThrow('damaged');
    }
    // A start must not fail for it: the log is read without what lay in there, and somebody is told.
    const told: string[] = [];
    const tolerant = openSqliteStore(file, (what) => told.push(what)).store;
    const whole = await collect(tolerant.readLog('pier-9', 0));
    expect(whole.map(({ seq }) => seq)).toEqual(whole.map((_, i) => i + 1));
    expect(told).toEqual(['an hour of rig-a/supply-pressure']);
    database.prepare('UPDATE pack SET bytes = ? WHERE id = ?').run(Buffer.from('nonsense'), 1);
    expect((await collect(tolerant.readLog('pier-9', 0))).map(({ seq }) => seq)).toEqual(whole.map(({ seq }) => seq));
    expect(told.at(-1)).toMatch(/entries 1 to \d+ of the log/);
    await store.close();
  });
});

/** A database that fails at its n-th call and at every one after it, as one that was killed. */
function dyingAt(database: Sqlite, n: number): { database: Sqlite; isDead: () => boolean } {
  let calls = 0;
  const die = (): void => {
    calls += 1;
    if (calls >= n) throw new Error('killed');
  };
  const guard = <T extends object>(target: T, names: readonly string[]): T =>
    new Proxy(target, {
      get: (_, name) => {
        const found = Reflect.get(target, name) as unknown;
        if (typeof found !== 'function') return found;
        const bound = found.bind(target) as (...args: unknown[]) => unknown;
        if (name === 'prepare') return (...args: unknown[]) => guard(bound(...args) as object, ['run', 'all', 'get']);
        if (name === 'raw') return (...args: unknown[]) => guard(bound(...args) as object, ['all', 'get']);
        if (name === 'transaction') return bound;
        return names.includes(String(name)) ? (...args: unknown[]) => { die(); return bound(...args); } : bound;
      },
    });
  return { database: guard(database, ['exec']), isDead: () => calls >= n };
}

it('killed at any call to the database, packing loses nothing, and the next start goes on', async () => {
  const dir = tempDir();
  const made = join(dir, 'made.db');
  const first = openSqliteStore(made);
  await recordTrouble(first.store, 2, 4, 240_000);
  const before = await answersOf(first.store);
  first.database.pragma('wal_checkpoint(TRUNCATE)');
  await first.store.close();
  let deaths = 0;
  for (let n = 1; ; n += 1) {
    const file = join(dir, `killed-${n}.db`);
    copyFileSync(made, file);
    const held = openSqlite(file);
    const { database, isDead } = dyingAt(held, n);
    try {
      await packAll(storeOver(database).store);
    } catch (error) {
      expect((error as Error).message).toBe('killed');
    }
    // What a killed process leaves open, the system closes.
    if (held.inTransaction) held.exec('ROLLBACK');
    held.close();
    const again = openSqliteStore(file);
    expect(await answersOf(again.store), `killed at call ${n}`).toEqual(before);
    await packAll(again.store);
    expect(await answersOf(again.store), `packed after a kill at call ${n}`).toEqual(before);
    expect(rowsIn(again.database, 'pack WHERE is_cleared = 0')).toBe(0);
    await again.store.close();
    if (!isDead()) break;
    deaths += 1;
  }
  expect(deaths).toBeGreaterThan(50);
});

it('a record of any earlier version, cut off in the middle of any step, is brought up to date whole', async () => {
  const dir = tempDir();
  for (let from = 1; from < RECORD_MIGRATIONS.length; from += 1) {
    const statements = (RECORD_MIGRATIONS[from] ?? '').split(/;\n/);
    for (let done = 0; done <= statements.length; done += 1) {
      const file = join(dir, `from-${from}-${done}.db`);
      const old = openSqlite(file);
      migrate(old, RECORD_MIGRATIONS.slice(0, from));
      old.exec("INSERT INTO log VALUES ('pier-9', 1, 1000, 'batch', '{\"first\":1,\"count\":1}'); INSERT INTO series VALUES (1, 'pier-9', 'rig-a', 'pot-pressure'); INSERT INTO reading (id, series, observed_ms, received_ms, value, quality, reason, late) VALUES (1, 1, 900, 950, 96.4, 'good', NULL, 0)");
      // As a kill leaves it: some statements of the step ran, nothing was committed.
      old.exec('BEGIN IMMEDIATE');
      for (const statement of statements.slice(0, done)) if (statement.trim() !== '') old.exec(statement);
      const found = `${file}-found`;
      for (const part of ['', '-wal']) copyFileSync(file + part, found + part);
      old.exec('ROLLBACK');
      old.close();
      const { store } = openSqliteStore(found);
      expect(await collect(store.readLog('pier-9', 0))).toEqual([
        { kind: 'batch', seq: 1, atMs: 1000, origin: '', readings: [{ owner: 'rig-a', point: 'pot-pressure', observedAtMs: 900, receivedAtMs: 950, value: 96.4, quality: 'good', reason: null, late: false, sequence: 0 }] },
      ]);
      await store.close();
    }
  }
});
