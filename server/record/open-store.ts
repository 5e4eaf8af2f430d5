import { join } from 'node:path';
import type { Log } from '../../host/log.ts';
import type { Sql } from '../../host/sql.ts';
import { openPostgresStore } from './postgres/open.ts';
import { openSqliteStore, refuse } from './sqlite-store.ts';
import type { Store } from './store.ts';

export interface StorePlace {
  readonly dataDir: string;
  /** Address of a PostgreSQL; null: a SQLite file in the data directory. */
  readonly database: string | null;
}

/** Opens the record where it is. With a log, a damaged block is told there and passed over; without one it is an error. @throws UserError */
export async function openStore({ dataDir, database }: StorePlace, log: Log | null = null): Promise<{ store: Store; sql: Sql }> {
  const onDamage = log ? (what: string, error: Error): void => log.error({ err: error, what }, 'a part of the record can’t be read') : refuse;
  if (database === null) return openSqliteStore(join(dataDir, 'record.db'), onDamage);
  return openPostgresStore(database, onDamage, (error) => log?.warn({ err: error }, 'a connection to the database was lost'));
}
