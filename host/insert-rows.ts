import type { Sqlite } from './open-sqlite.ts';
import type { SqlValue } from './sql.ts';

/** Rows in one statement: a call into SQLite costs as much as several rows. */
const ROWS = 50;

/**
 * Inserts many rows by few statements. `insert` is a statement up to and with `VALUES`; what is handed in later are the values of whole
 * rows one after another, `columns` to a row.
 */
export function insertRows(database: Sqlite, insert: string, columns: number): (values: readonly SqlValue[]) => void {
  const row = `(${Array(columns).fill('?').join(', ')})`;
  const one = database.prepare(`${insert} ${row}`);
  const many = database.prepare(`${insert} ${Array(ROWS).fill(row).join(', ')}`);
  const step = ROWS * columns;
  return (values) => {
    let at = 0;
    for (; at + step <= values.length; at += step) many.run(...values.slice(at, at + step));
    for (; at < values.length; at += columns) one.run(...values.slice(at, at + columns));
  };
}
