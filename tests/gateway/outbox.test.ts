import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { NewReading } from '../../gateway/outbox/outbox.ts';
import { openSqliteOutbox } from '../../gateway/outbox/sqlite-outbox.ts';
import { Uplink } from '../../gateway/uplink/uplink.ts';
import { QUIET, until } from '../support/quiet.ts';
import { tempDir } from '../support/temp-dir.ts';

const one = (value: number): NewReading => ({ owner: 'rig-a', point: 'pot-pressure', observedAtMs: value, receivedAtMs: value, value, quality: 'good', reason: null, backlog: false });

describe('the outbox', () => {
  it('keeps what was put in, in order, over a reopening', async () => {
    const file = join(tempDir(), 'outbox.db');
    const first = openSqliteOutbox(file);
    await Promise.all([first.put([one(1), one(2)]), first.put([]), first.put([one(3)])]);
    const { gateway, epoch } = first;
    await first.close();
    const again = openSqliteOutbox(file);
    expect([again.gateway, again.epoch]).toEqual([gateway, epoch]);
    expect(again.read(0, 10).map(({ sequence, value }) => [sequence, value])).toEqual([[1, 1], [2, 2], [3, 3]]);
    expect(again.waiting()).toBe(3);
    await again.close();
  });

  it('never counts a sequence twice, though everything was released', async () => {
    const file = join(tempDir(), 'outbox.db');
    const first = openSqliteOutbox(file);
    await first.put([one(1), one(2)]);
    first.release(2);
    await first.close();
    const again = openSqliteOutbox(file);
    await again.put([one(3)]);
    expect(again.read(0, 10).map(({ sequence }) => sequence)).toEqual([3]);
    await again.close();
  });

  it('settles in the order of the calls', async () => {
    const outbox = openSqliteOutbox(join(tempDir(), 'outbox.db'));
    const settled: number[] = [];
    await Promise.all([1, 2, 3, 4].map((value) => outbox.put(value === 2 ? [] : [one(value)]).then(() => settled.push(value))));
    expect(settled).toEqual([1, 2, 3, 4]);
    await outbox.close();
  });

  it('tells nobody it has it when it is closed', async () => {
    const outbox = openSqliteOutbox(join(tempDir(), 'outbox.db'));
    await outbox.close();
    await expect(outbox.put([one(1)])).rejects.toThrow(/closed/);
  });
});

describe('the uplink', () => {
  it('sends a batch again until the server has committed it, and then the rest', async () => {
    const outbox = openSqliteOutbox(join(tempDir(), 'outbox.db'));
    await outbox.put([one(1), one(2)]);
    const seen: number[][] = [];
    let failures = 2;
    const uplink = new Uplink({
      outbox,
      site: 'pier-9',
      log: QUIET,
      deliver: async ({ readings }) => {
        seen.push(readings.map(({ sequence }) => sequence));
        if (failures-- > 0) throw new Error('not now');
        return { committed: readings.at(-1)?.sequence ?? 0 };
      },
    });
    await until(() => seen.length === 3, 'the third try');
    await outbox.put([one(3)]);
    await until(() => outbox.waiting() === 0, 'the outbox to empty');
    expect(seen).toEqual([[1, 2], [1, 2], [1, 2], [3]]);
    await uplink.stop();
    await outbox.close();
  });
});
