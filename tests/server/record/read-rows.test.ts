import * as fc from 'fast-check';
import { expect, test } from 'vitest';
import { openSqlite } from '../../../host/open-sqlite.ts';
import { readRows } from '../../../server/record/read-rows.ts';

test('every bit of a value, a missing value and every mark come out of a row as they went in', () => {
  const database = openSqlite(':memory:');
  database.exec('CREATE TABLE kept (at_ms INTEGER, value REAL, mark INTEGER)');
  // SQLite keeps no -0.
  const row = fc.tuple(fc.integer({ min: 0, max: 2 ** 43 }), fc.option(fc.double({ noNaN: true, noDefaultInfinity: true }).map((one) => one + 0)), fc.integer({ min: 0, max: 6 }));
  fc.assert(
    fc.property(fc.array(row, { maxLength: 50 }), (rows) => {
      database.exec('DELETE FROM kept');
      for (const one of rows) database.prepare('INSERT INTO kept VALUES (?, ?, ?)').run(...one);
      const { atMs, value, mark } = readRows(database, 'SELECT at_ms, value, mark FROM kept WHERE mark >= ? ORDER BY rowid', 0);
      expect([...atMs]).toEqual(rows.map(([at]) => at));
      expect([...value]).toEqual(rows.map(([, one]) => one ?? Number.NaN));
      expect([...mark]).toEqual(rows.map(([, , bits]) => bits));
    }),
    { numRuns: 300 },
  );
});
