import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { tempDir } from '../../support/temp-dir.ts';
import { openStoreAt, STORES } from '../../support/stores.ts';
import { answersOf, recordTrouble } from '../../support/troubled-record.ts';

describe.runIf(STORES.includes('PostgreSQL'))('the same hours of trouble in SQLite and in PostgreSQL', () => {
  it.each([1, 2, 3])('are the same records and journals, as rows and packed, seed %i', async (seed) => {
    const file = join(tempDir(), 'record.db');
    const answers = [];
    for (const kind of STORES) {
      const { store } = await openStoreAt(kind, file);
      await recordTrouble(store, 3, seed);
      const rows = await answersOf(store);
      while (await store.packNext('pier-9'));
      const packed = await answersOf(store);
      expect(packed).toEqual(rows);
      await store.close();
      // What another start reads is what was written.
      const again = await openStoreAt(kind, file);
      expect(await answersOf(again.store)).toEqual(rows);
      await again.store.close();
      answers.push(rows);
    }
    expect(answers[1]).toEqual(answers[0]);
  });
});
