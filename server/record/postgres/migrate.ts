import type { PostgresSql } from '../../../host/postgres-sql.ts';
import { UserError } from '../../../host/user-error.ts';
import { POSTGRES_MIGRATIONS } from './schema.ts';

/** Any number that nothing else locks by: two servers that start together migrate once. */
const LOCK = 7_043_518;

/** Brings a database up to date: each step runs once, in its own transaction with the count of steps done. Cut off anywhere, it goes on at the next start. */
export async function migratePostgres(sql: PostgresSql, steps: readonly string[] = POSTGRES_MIGRATIONS): Promise<void> {
  for (let isDone = false; !isDone; ) {
    isDone = await sql.transaction(async () => {
      await sql.run('SELECT pg_advisory_xact_lock(?)', LOCK);
      await sql.run('CREATE TABLE IF NOT EXISTS potside_schema (one integer PRIMARY KEY CHECK (one = 1), step integer NOT NULL)');
      const done = (await sql.get<{ step: number }>('SELECT step FROM potside_schema'))?.step ?? 0;
      if (done > steps.length) throw new UserError(`the database is from a newer version (step ${done}, known ${steps.length}): run that version, or restore an older backup`);
      const next = steps[done];
      if (next === undefined) return true;
      // Without values bound, several statements go as one.
      await sql.query(next, []);
      await sql.run('INSERT INTO potside_schema (one, step) VALUES (1, ?) ON CONFLICT (one) DO UPDATE SET step = excluded.step', done + 1);
      return false;
    });
  }
}

/** @throws UserError where the server acknowledges what is not on its disk yet */
export async function refuseUnsafeSettings(sql: PostgresSql): Promise<void> {
  const found = await sql.get<{ fsync: string; commit: string; pages: string }>("SELECT current_setting('fsync') AS fsync, current_setting('synchronous_commit') AS commit, current_setting('full_page_writes') AS pages");
  const wrong = found && (found.fsync === 'off' ? 'fsync' : found.commit === 'off' ? 'synchronous_commit' : found.pages === 'off' ? 'full_page_writes' : null);
  if (wrong) throw new UserError(`the database has ${wrong} = off: it would acknowledge readings that a power cut takes back. Set it to on`);
}
