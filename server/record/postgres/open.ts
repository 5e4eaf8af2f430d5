import { PostgresSql, shownUrl } from '../../../host/postgres-sql.ts';
import type { Sql } from '../../../host/sql.ts';
import { UserError } from '../../../host/user-error.ts';
import type { OnDamage } from '../log-reader.ts';
import { SqlStore } from '../sql-store.ts';
import type { Store } from '../store.ts';
import { Leases } from './leases.ts';
import { migratePostgres, refuseUnsafeSettings } from './migrate.ts';
import { PostgresPackTables } from './pack-tables.ts';
import { Partitions } from './partitions.ts';
import { PostgresReadTables } from './read-tables.ts';
import { PostgresWriter } from './write.ts';

/** The texts of a shift's and its items' bodies, and not the names of their fields. A NUL, which JSON may name, is no text here. */
const SAYS_WORD = `(EXISTS (SELECT 1 FROM ${textsOf('shift.body')} WHERE jsonb_typeof(told) IN ('string', 'number') AND told #>> '{}' ILIKE ? ESCAPE '\\')
  OR EXISTS (SELECT 1 FROM shift_item, ${textsOf('shift_item.body')} WHERE shift_item.shift = shift.id AND jsonb_typeof(told) IN ('string', 'number') AND told #>> '{}' ILIKE ? ESCAPE '\\'))`;

function textsOf(body: string): string {
  return `jsonb_path_query(replace(${body}, '\\u0000', '\\ufffd')::jsonb, 'strict $.**') AS told`;
}

/**
 * The record in PostgreSQL. Connects and, where needed, makes or migrates the tables. `onLost` hears of connections that broke.
 * @throws UserError where it can't be reached, or would acknowledge what is not on its disk
 */
export async function openPostgresStore(url: string, onDamage: OnDamage, onLost: (error: Error) => void = () => undefined): Promise<{ store: Store; sql: Sql }> {
  const shown = shownUrl(url);
  const sql = new PostgresSql(url, onLost);
  try {
    await refuseUnsafeSettings(sql);
    await migratePostgres(sql);
  } catch (error) {
    await sql.close();
    if (error instanceof UserError) throw error;
    throw new UserError(`the database ${shown} can’t be used: ${(error as Error).message}`);
  }
  const partitions = new Partitions(sql);
  // Connections of its own: saying that we live must not wait behind what we write.
  const beats = new PostgresSql(url, onLost, 2);
  const leases = new Leases(sql, beats);
  const writer = new PostgresWriter(sql, partitions, leases);
  const store = new SqlStore({
    sql,
    leases,
    reading: new PostgresReadTables(sql),
    packing: new PostgresPackTables(sql, partitions, leases),
    onDamage,
    newest: 'SELECT max(at_ms) AS newest FROM log',
    saysWord: SAYS_WORD,
    commit: (unit, rest) => writer.commit(unit, rest),
    tidy: (nowMs) => partitions.dropEmptied(nowMs),
    close: async () => {
      await beats.close();
      await sql.close();
    },
  });
  return { store, sql };
}
