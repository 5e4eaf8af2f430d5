import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { NewReading } from '../../gateway/outbox/outbox.ts';
import { openOutboxDatabase } from '../../gateway/outbox/outbox-database.ts';
import { openSqliteOutbox } from '../../gateway/outbox/sqlite-outbox.ts';
import { QUIET } from '../support/quiet.ts';
import { tempDir } from '../support/temp-dir.ts';

const one = (value: number): NewReading => ({ owner: 'rig-a', point: 'pot-pressure', observedAtMs: value, receivedAtMs: value, value, quality: 'good', reason: null, backlog: false });

describe('the outbox', () => {
  it('knows again what it was given lately, though the servers have it and it was opened anew', async () => {
    const file = join(tempDir(), 'outbox.db');
    const outbox = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET });
    const timed = { ...one(8), observedAtMs: 1 };
    await outbox.put([one(7), timed]);
    outbox.release('here', 2);
    await outbox.put([one(9)]);
    await outbox.close();
    const again = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET });
    expect(again.seen()).toMatchObject([timed].map(({ backlog: _backlog, ...rest }) => rest));
    await again.close();
  });

  it('keeps what was put in, in order, over a reopening', async () => {
    const file = join(tempDir(), 'outbox.db');
    const first = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET });
    await Promise.all([first.put([one(1), one(2)]), first.put([]), first.put([one(3)])]);
    const { gateway, epoch } = first;
    await first.close();
    const again = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET });
    expect([again.gateway, again.epoch]).toEqual([gateway, epoch]);
    expect(again.read(0, 10).map(({ sequence, value }) => [sequence, value])).toEqual([[1, 1], [2, 2], [3, 3]]);
    expect(again.waiting()).toBe(3);
    await again.close();
  });

  it('answers alike from what it still has at hand and from the file, whatever was put in and released', async () => {
    const file = join(tempDir(), 'outbox.db');
    const outbox = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET });
    const beside = openOutboxDatabase(file);
    let last = 0;
    for (const [count, released] of [[1, 0], [700, 1], [2, 300], [1_500, 300], [900, 2_000], [3, 3_103], [5, 3_103], [0, 3_107], [1, 3_107]] as const) {
      await outbox.put(Array.from({ length: count }, (_, at) => one(last + at + 1)));
      last += count;
      outbox.release('here', released);
      // What is released goes with the next group.
      await outbox.put([]);
      for (const after of [0, released - 1, released, released + 1, last - 1_100, last - 500, last - 1, last]) {
        for (const through of [Number.MAX_SAFE_INTEGER, last - 3, after + 1]) {
          for (const limit of [1, 500]) expect(outbox.read(after, limit, through), `after ${after}, through ${through}`).toEqual(beside.read(after, limit, through));
        }
      }
    }
    beside.sqlite.close();
    await outbox.close();
  });

  it('never counts a sequence twice, though everything was released', async () => {
    const file = join(tempDir(), 'outbox.db');
    const first = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET });
    await first.put([one(1), one(2)]);
    first.release('here', 2);
    await first.close();
    const again = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET });
    await again.put([one(3)]);
    expect(again.read(0, 10).map(({ sequence }) => sequence)).toEqual([3]);
    await again.close();
  });

  it('keeps a reading until every uplink’s server has it, also over a restart', async () => {
    const file = join(tempDir(), 'outbox.db');
    const first = openSqliteOutbox(file, { uplinks: ['here', 'office'], log: QUIET });
    await first.put([one(1), one(2), one(3)]);
    first.release('here', 3);
    first.release('office', 1);
    await first.close();
    const again = openSqliteOutbox(file, { uplinks: ['here', 'office'], log: QUIET });
    expect([again.waiting(), again.read(0, 10).map(({ sequence }) => sequence)]).toEqual([2, [2, 3]]);
    again.release('office', 3);
    await again.put([one(4)]);
    expect(again.read(0, 10).map(({ sequence }) => sequence)).toEqual([4]);
    await again.close();
    const alone = openSqliteOutbox(file, { uplinks: ['here'], log: QUIET });
    alone.release('here', 4);
    await alone.put([]);
    expect(alone.read(0, 10)).toEqual([]);
    await alone.close();
  });

  it('finds the first reading since a time, over what was deleted', async () => {
    const outbox = openSqliteOutbox(join(tempDir(), 'outbox.db'), { uplinks: ['here'], log: QUIET });
    await outbox.put(Array.from({ length: 100 }, (_, at) => one(at * 10)));
    outbox.release('here', 40);
    await outbox.put([]);
    expect([0, 500, 505, 990, 991].map((ms) => outbox.firstSince(ms))).toEqual([41, 51, 52, 100, null]);
    await outbox.close();
  });

  it('settles in the order of the calls', async () => {
    const outbox = openSqliteOutbox(join(tempDir(), 'outbox.db'), { uplinks: ['here'], log: QUIET });
    const settled: number[] = [];
    await Promise.all([1, 2, 3, 4].map((value) => outbox.put(value === 2 ? [] : [one(value)]).then(() => settled.push(value))));
    expect(settled).toEqual([1, 2, 3, 4]);
    await outbox.close();
  });

  it('tells nobody it has it when it is closed', async () => {
    const outbox = openSqliteOutbox(join(tempDir(), 'outbox.db'), { uplinks: ['here'], log: QUIET });
    await outbox.close();
    await expect(outbox.put([one(1)])).rejects.toThrow(/closed/);
  });
});
