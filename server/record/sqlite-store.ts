import { insertRows } from '../../host/insert-rows.ts';
import { migrate, openSqlite, type Sqlite } from '../../host/open-sqlite.ts';
import type { Sql } from '../../host/sql.ts';
import { SqliteSql } from '../../host/sqlite-sql.ts';
import { journalRows } from './journal-rows.ts';
import { logBody } from './log-body.ts';
import type { OnDamage } from './log-reader.ts';
import { RECORD_MIGRATIONS } from './migrations.ts';
import { PackMarks } from './pack-marks.ts';
import { SeriesIds } from './series-ids.ts';
import { SharedCommits } from './shared-commits.ts';
import { SqlStore } from './sql-store.ts';
import { SqlitePackTables } from './sqlite-pack-tables.ts';
import { SqliteReadTables } from './sqlite-read-tables.ts';
import type { CommitUnit, Store } from './store.ts';

/** The record in one SQLite file. Opens and, where needed, migrates it. `onDamage` hears of a block that can't be read; the log is then read without it. */
export function openSqliteStore(file: string, onDamage: OnDamage = refuse): { store: Store; sql: Sql; database: Sqlite } {
  const database = openSqlite(file);
  migrate(database, RECORD_MIGRATIONS);
  return { ...storeOver(database, onDamage), database };
}

/** The record in an open database that is up to date. */
export function storeOver(database: Sqlite, onDamage: OnDamage = refuse): { store: Store; sql: Sql } {
  const sql = new SqliteSql(database);
  const series = new SeriesIds(database);
  const marks = new PackMarks(database);
  const write = prepareWrite(database, series);
  const commits = new SharedCommits(sql, () => {
    series.forget();
    store.forget();
  });
  const store = new SqlStore({
    sql,
    reading: new SqliteReadTables(sql, marks, series),
    packing: new SqlitePackTables(sql, marks),
    leases: null,
    onDamage,
    newest: 'SELECT max(at_ms) AS newest FROM (SELECT site, max(seq) AS seq FROM log GROUP BY site) JOIN log USING (site, seq)',
    saysWord: SAYS_WORD,
    // Its own free pages are written again.
    tidy: () => Promise.resolve(),
    commit: (unit, rest) => commits.commit(unit.site, async () => {
      write(unit);
      await rest();
    }),
    close: () => {
      database.close();
      return Promise.resolve();
    },
  });
  return { store, sql };
}

export const refuse: OnDamage = (what, error) => {
  throw new Error(`${what}: ${error.message}`);
};

/** The texts of a shift's and its items' bodies, and not the names of their fields. */
const SAYS_WORD = "(EXISTS (SELECT 1 FROM json_tree(shift.body) WHERE atom LIKE ? ESCAPE '\\') OR EXISTS (SELECT 1 FROM shift_item, json_tree(shift_item.body) WHERE shift_item.shift = shift.id AND atom LIKE ? ESCAPE '\\'))";

/** Writes what is many. */
function prepareWrite(database: Sqlite, series: SeriesIds): (unit: CommitUnit) => void {
  const log = database.prepare('INSERT INTO log (site, seq, at_ms, kind, body) VALUES (?, ?, ?, ?, ?)');
  const readings = insertRows(database, 'INSERT INTO reading (id, series, observed_ms, received_ms, value, quality, reason, late, sequence) VALUES', 9);
  const computed = insertRows(database, 'INSERT OR REPLACE INTO computed (series, at_ms, value, quality, reason, seq) VALUES', 6);
  const journal = database.prepare('INSERT INTO journal (site, seq, n, at_ms, kind, owner, alarm, detail) VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
  const newest = database.prepare("SELECT seq FROM sqlite_sequence WHERE name = 'reading'").get() as { seq: number } | undefined;
  // Numbers of readings that were given in vain are not given again: the next commit may have begun already.
  let nextReading = (newest?.seq ?? 0) + 1;
  return ({ site, logged }) => {
    for (const { entry, effects } of logged) {
      log.run(site, entry.seq, entry.atMs, entry.kind, logBody(entry, nextReading));
      if (entry.kind === 'batch') {
        const first = nextReading;
        readings(entry.readings.flatMap((r, at) => [first + at, series.need(site, r.owner, r.point), r.observedAtMs, r.receivedAtMs, r.value, r.quality, r.reason, r.late ? 1 : 0, r.sequence]));
        nextReading += entry.readings.length;
      }
      computed(effects.computed.flatMap((c) => [series.need(site, c.owner, c.point), c.atMs, c.value, c.quality, c.reason, entry.seq]));
      for (const row of journalRows(entry, effects)) journal.run(site, entry.seq, row.n, row.atMs, row.kind, row.owner, row.alarm, JSON.stringify(row.detail));
    }
  };
}
