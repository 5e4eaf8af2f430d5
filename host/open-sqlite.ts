import Database from 'libsql';
import { UserError } from './user-error.ts';

export type Sqlite = Database.Database;
export type SqliteStatement = Database.Statement;

/**
 * Opens a SQLite file in which a commit is on the disk before it returns: WAL with `synchronous=FULL`.
 * @throws UserError where the file is damaged.
 * `maxBytes` bounds the file below the size of the disk: a full disk leaves SQLite unable even to delete.
 */
export function openSqlite(file: string, options: { readonly maxBytes?: number } = {}): Sqlite {
  try {
    return open(file, options.maxBytes);
  } catch (error) {
    if (!/^SQLITE_(NOTADB|CORRUPT)/.test(String((error as { code?: unknown }).code)) && !/not a database|malformed/.test((error as Error).message)) throw error;
    throw new UserError(`${file} is damaged and can’t be opened (${(error as Error).message}). It was left as it is: set it aside and restore a backup, or start with a new data directory`);
  }
}

function open(file: string, maxBytes: number | undefined): Sqlite {
  const database = new Database(file);
  database.pragma('journal_mode = WAL');
  database.pragma('synchronous = FULL');
  database.pragma('busy_timeout = 5000');
  database.pragma('foreign_keys = ON');
  // A thousand series are a thousand pages that every second touches: with the usual 2 MB of cache and a checkpoint every 4 MB the disk would be busy with these alone.
  database.pragma('cache_size = -16000');
  database.pragma('wal_autocheckpoint = 4000');
  if (maxBytes !== undefined) database.pragma(`max_page_count = ${Math.floor(maxBytes / 4096)}`);
  return database;
}

/**
 * Runs `act` in one transaction. SQLite may have rolled back by itself, on a full disk for one; the library's own wrapper then fails over
 * that and hides why.
 */
export function inTransaction<A extends unknown[]>(database: Sqlite, act: (...args: A) => void): (...args: A) => void {
  return (...args) => {
    database.exec('BEGIN IMMEDIATE');
    try {
      act(...args);
      database.exec('COMMIT');
    } catch (error) {
      if (database.inTransaction) database.exec('ROLLBACK');
      throw error;
    }
  };
}

/** The database is at the size it was bounded to. */
export function isFull(error: unknown): boolean {
  return (error as { code?: unknown } | null)?.code === 'SQLITE_FULL' || /database or disk is full/.test((error as Error).message);
}

/** Brings a database up to date: each step runs once, in its own transaction with the count of steps done. */
export function migrate(database: Sqlite, steps: readonly string[]): void {
  const done = (database.prepare('PRAGMA user_version').get() as { user_version: number }).user_version;
  if (done > steps.length) throw new Error(`the database is from a newer version (step ${done}, known ${steps.length}): run that version, or restore an older backup`);
  for (let step = done; step < steps.length; step += 1) {
    try {
      database.exec(`BEGIN IMMEDIATE; ${steps[step] ?? ''}; PRAGMA user_version = ${step + 1}; COMMIT`);
    } catch (error) {
      if (database.inTransaction) database.exec('ROLLBACK');
      throw error;
    }
  }
}
