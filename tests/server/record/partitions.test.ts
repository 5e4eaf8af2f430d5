import { join } from 'node:path';
import pg from 'pg';
import { describe, expect, it, onTestFinished } from 'vitest';
import { EffectsCollector } from '../../../domain/site/site-effects.ts';
import type { Store } from '../../../server/record/store.ts';
import { collect } from '../../support/collect.ts';
import { databaseAt, openStoreAt, postgres, STORES } from '../../support/stores.ts';
import { tempDir } from '../../support/temp-dir.ts';

const JANUARY = Date.UTC(2026, 0, 10, 6);
const MAY = Date.UTC(2026, 4, 3);
const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
const FOR_A_MONTH = { exposure: 30 * DAY_MS, line: 30 * DAY_MS, computed: 30 * DAY_MS };

/** Three hours of one sensor as three entries, from a position of the log on. */
async function record(store: Store, site: string, afterSeq: number, fromMs: number): Promise<void> {
  for (let hour = 0; hour < 3; hour += 1) {
    const seq = afterSeq + hour + 1;
    const readings = Array.from({ length: 60 }, (_, minute) => {
      const atMs = fromMs + hour * HOUR_MS + minute * 60_000;
      return { owner: 'rig-a', point: 'supply-pressure', observedAtMs: atMs, receivedAtMs: atMs, value: 100 + minute / 10, quality: 'good', reason: null, late: false, sequence: seq * 60 + minute } as const;
    });
    await store.commit({ site, logged: [{ entry: { kind: 'batch', seq, atMs: fromMs + hour * HOUR_MS + 3_599_000, origin: 'g/e', readings }, effects: new EffectsCollector(seq) }], cursors: [], snapshot: null });
  }
}

describe.runIf(STORES.includes('PostgreSQL'))('partitions of months that retention has emptied', () => {
  it('are dropped, what holds anything stays, and a server that did not know records on', async () => {
    const file = join(tempDir(), 'record.db');
    const database = new URL(await databaseAt(file)).pathname.slice(1);
    const partitions = async (): Promise<string[]> => (await (await postgres()).ask("SELECT relname FROM pg_class WHERE relkind = 'r' AND relname ~ '^(log|reading|computed|journal|block)_2026' ORDER BY relname", database)).map(({ relname }) => String(relname));
    const open = async (): Promise<Store> => {
      const { store } = await openStoreAt('PostgreSQL', file);
      onTestFinished(() => store.close());
      return store;
    };
    const count = async (store: Store, site: string, fromMs: number): Promise<number> => (await collect(store.samples(site, 'rig-a', 'supply-pressure', fromMs, fromMs + 3 * HOUR_MS))).length;
    const [one, other] = [await open(), await open()];
    await record(one, 'pier-9', 0, JANUARY);
    await record(other, 'quay-4', 0, JANUARY);
    // Two hours on, all of January is over and packed.
    await record(one, 'pier-9', 3, MAY);
    await record(other, 'quay-4', 3, MAY);
    for (const [store, site] of [[one, 'pier-9'], [other, 'quay-4']] as const) while (await store.packNext(site));
    const all = await partitions();
    expect(all).toEqual(['block', 'computed', 'journal', 'log', 'reading'].flatMap((table) => [`${table}_2026_01`, `${table}_2026_05`]));

    // The other site keeps January: its blocks are in the same partition.
    await one.retention.eraseDue('pier-9', FOR_A_MONTH, MAY + DAY_MS);
    await one.tidy(MAY + DAY_MS);
    expect(await partitions()).toEqual(all.filter((name) => !['computed_2026_01', 'journal_2026_01', 'log_2026_01', 'reading_2026_01'].includes(name)));
    expect(await count(one, 'pier-9', JANUARY)).toBe(0);
    expect(await count(one, 'quay-4', JANUARY)).toBe(180);

    await other.retention.eraseDue('quay-4', FOR_A_MONTH, MAY + DAY_MS);
    // While somebody reads for long nobody has to wait behind the drop: it is left for the next time.
    const reader = new pg.Client({ connectionString: await databaseAt(file) });
    await reader.connect();
    onTestFinished(() => reader.end());
    await reader.query('BEGIN; SELECT count(*) FROM block');
    await one.tidy(MAY + 2 * DAY_MS);
    expect(await partitions()).toContain('block_2026_01');
    await reader.query('COMMIT');
    await one.tidy(MAY + 3 * DAY_MS);
    expect(await partitions()).toEqual(all.filter((name) => name.endsWith('_05')));

    // Its clock is wrong, or a new month's partition is dropped before it is used: the other one still takes them to be there.
    await record(other, 'shed-2', 0, JANUARY + 5 * DAY_MS);
    expect(await count(other, 'shed-2', JANUARY + 5 * DAY_MS)).toBe(180);
    expect(await partitions()).toEqual(all.filter((name) => name.endsWith('_05')));
    // And one that starts now can go on with what is there.
    const third = await open();
    await record(third, 'shed-2', 3, JANUARY + 6 * DAY_MS);
    expect(await count(third, 'shed-2', JANUARY + 5 * DAY_MS)).toBe(180);
    expect(await count(third, 'shed-2', JANUARY + 6 * DAY_MS)).toBe(180);
  });
});
