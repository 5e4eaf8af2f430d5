import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { NewReading, Outbox } from '../../gateway/outbox/outbox.ts';
import { openSqliteOutbox } from '../../gateway/outbox/sqlite-outbox.ts';
import { openSqlite, type Sqlite } from '../../host/open-sqlite.ts';
import { QUIET, until } from '../support/quiet.ts';
import { tempDir } from '../support/temp-dir.ts';

const MEGABYTE = 1024 * 1024;
const SECOND_MS = 1_000;

const at = (second: number, point: string): NewReading => ({ owner: 'rig-a', point, observedAtMs: second * SECOND_MS, receivedAtMs: second * SECOND_MS, value: second % 100, quality: 'good', reason: null, backlog: false });

function small(uplinks: readonly string[], bytes = 4 * MEGABYTE): Outbox {
  const outbox = openSqliteOutbox(join(tempDir(), 'outbox.db'), { uplinks, log: QUIET, maxBytes: bytes });
  onTestFinished(() => outbox.close());
  return outbox;
}

/** Nine points of pressure and one of carbon monoxide, each second; half a minute in a commit. */
async function play(outbox: Outbox, fromSecond: number, seconds: number): Promise<void> {
  const each = (second: number): NewReading[] => [at(second, 'breathing-air-co'), ...Array.from({ length: 9 }, (_, n) => at(second, `point-${n}`))];
  for (let second = fromSecond; second < fromSecond + seconds; second += 30) {
    await outbox.put(Array.from({ length: 30 }, (_, n) => each(second + n)).flat());
  }
}

function all(outbox: Outbox): { critical: number; usual: number; newest: number } {
  const readings = outbox.read(0, 10_000_000);
  const critical = readings.filter(({ point }) => point === 'breathing-air-co').length;
  return { critical, usual: readings.length - critical, newest: readings.at(-1)?.sequence ?? 0 };
}

describe('a full outbox', () => {
  it('thins the oldest to one a minute and keeps every reading of breathing air; what comes in is taken, and drops are counted', async () => {
    const outbox = small(['here']);
    await play(outbox, 0, 12_000);
    const { critical, usual, newest } = all(outbox);
    expect(newest).toBe(120_000);
    expect(critical).toBe(12_000);
    expect(outbox.status()).toMatchObject({ dropped: 120_000 - critical - usual, givenUp: 0, writable: true });
    expect(outbox.status().dropped).toBeGreaterThan(10_000);
    expect(outbox.status().filled).toBeLessThanOrEqual(1);
    // Thinned, not cut off: the first hour still has a reading a minute of each point.
    const early = outbox.read(0, 10_000_000).filter(({ point, receivedAtMs }) => point === 'point-3' && receivedAtMs < 600 * SECOND_MS);
    expect(early.map(({ receivedAtMs }) => receivedAtMs / 60_000)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
  });

  it('when nothing can be thinned any more the oldest go, those of breathing air last', async () => {
    const outbox = small(['here'], MEGABYTE);
    await play(outbox, 0, 18_000);
    const { critical, newest } = all(outbox);
    expect(newest).toBe(180_000);
    // A megabyte does not hold eighteen thousand of them with all else: some went, and then they are the newest that are left.
    const kept = outbox.read(0, 10_000_000).filter(({ point }) => point === 'breathing-air-co').map(({ receivedAtMs }) => receivedAtMs / SECOND_MS);
    expect(kept).toEqual(Array.from({ length: critical }, (_, n) => 18_000 - critical + n));
    expect(critical).toBeGreaterThan(1_000);
  });

  it('gives up first what one server has and another, long dead, has not', async () => {
    const outbox = small(['here', 'office'], MEGABYTE);
    for (let second = 0; second < 3_000; second += 120) {
      await play(outbox, second, 120);
      outbox.release('here', outbox.last());
    }
    expect(outbox.status()).toMatchObject({ dropped: 0, writable: true });
    expect(outbox.status().givenUp).toBeGreaterThan(5_000);
  });

  it('says the same after it was opened again', async () => {
    const file = join(tempDir(), 'outbox.db');
    const first = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET, maxBytes: MEGABYTE });
    await play(first, 0, 3_000);
    const { dropped } = first.status();
    expect(dropped).toBeGreaterThan(0);
    await first.close();
    const again = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET, maxBytes: MEGABYTE });
    expect(again.status().dropped).toBe(dropped);
    await again.close();
  });
});

describe('a disk that fails', () => {
  /** A file whose commits fail while `failing`; with `keeps`, what failed is on the disk all the same. */
  function failingFile(): { state: { failing: boolean; keeps: boolean; opened: number }; open: (file: string, options: { maxBytes: number }) => Sqlite } {
    const state = { failing: false, keeps: false, opened: 0 };
    const open = (file: string, options: { maxBytes: number }): Sqlite => {
      state.opened += 1;
      const sqlite = openSqlite(file, options);
      const exec = sqlite.exec.bind(sqlite);
      sqlite.exec = (sql) => {
        if (state.failing && sql === 'COMMIT' && !state.keeps) exec('ROLLBACK');
        else exec(sql);
        if (state.failing && sql === 'COMMIT') throw Object.assign(new Error('disk I/O error'), { code: 'SQLITE_IOERR_FSYNC' });
        return sqlite;
      };
      return sqlite;
    };
    return { state, open };
  }

  it.each([false, true])('acknowledges nothing until the file was opened anew and checked; then what it said yes to is there once (the failed one on disk all the same: %s)', async (keeps) => {
    const { state, open } = failingFile();
    const outbox = openSqliteOutbox(join(tempDir(), 'outbox.db'), { uplinks: ['here'], log: QUIET, open });
    onTestFinished(() => outbox.close());
    await outbox.put([at(1, 'pot-pressure')]);
    Object.assign(state, { failing: true, keeps });
    await expect(outbox.put([at(2, 'pot-pressure')])).rejects.toThrow(/disk I\/O/);
    state.failing = false;
    // The next commit would work, but what the failed one left is not known.
    await expect(outbox.put([at(3, 'pot-pressure')])).rejects.toThrow(/not checked yet/);
    expect(outbox.status()).toMatchObject({ writable: false });
    expect(state.opened).toBe(1);
    await until(() => outbox.put([at(4, 'pot-pressure')]).then(() => true, () => false), 'the file to be opened anew');
    expect(state.opened).toBe(2);
    expect(outbox.read(0, 10).map(({ sequence, receivedAtMs }) => [sequence, receivedAtMs / SECOND_MS])).toEqual([[1, 1], [2, 4]]);
    expect(outbox.status()).toMatchObject({ writable: true, dropped: 0 });
  });
});
