import { createHash } from 'node:crypto';
import { afterAll } from 'vitest';
import type { Sql } from '../../host/sql.ts';
import { openPostgresStore } from '../../server/record/postgres/open.ts';
import { openSqliteStore, refuse } from '../../server/record/sqlite-store.ts';
import type { Store } from '../../server/record/store.ts';
import { type Postgres, POSTGRES_BIN, startPostgres } from './postgres.ts';

export type StoreKind = 'SQLite' | 'PostgreSQL';

/** The stores a suite runs over. Where PostgreSQL is not installed, `npm test` installs it; a run by hand without it names SQLite only. */
export const STORES: readonly StoreKind[] = POSTGRES_BIN === null ? ['SQLite'] : ['SQLite', 'PostgreSQL'];

let running: Promise<Postgres> | null = null;
afterAll(async () => (await running)?.stop(), 60_000);

/** One PostgreSQL for all tests of a file. */
export function postgres(): Promise<Postgres> {
  return (running ??= startPostgres());
}

/** The address of a database of the test's own; the same name again is the same database. */
export async function databaseAt(name: string): Promise<string> {
  return (await postgres()).database(`t_${createHash('sha256').update(name).digest('hex').slice(0, 20)}`);
}

/** A record of this kind: what was opened at the same file before, is there again. */
export async function openStoreAt(kind: StoreKind, file: string): Promise<{ store: Store; sql: Sql }> {
  return kind === 'SQLite' ? openSqliteStore(file) : openPostgresStore(await databaseAt(file), refuse);
}
