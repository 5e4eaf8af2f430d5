/** What is bound to a statement, or comes back from it. Times are whole milliseconds, truth is 0 or 1. */
export type SqlValue = string | number | null | Uint8Array;

/**
 * A database as most of the tables need it, whichever it is. Statements are written once, in the SQL that SQLite and PostgreSQL share:
 * `?` for what is bound, names in lower case (an alias with capitals in double quotes), `ON CONFLICT` and not `OR REPLACE`.
 */
export interface Sql {
  all<R>(text: string, ...values: readonly SqlValue[]): Promise<R[]>;
  /** The first row; undefined where there is none. */
  get<R>(text: string, ...values: readonly SqlValue[]): Promise<R | undefined>;
  /** Answers with how many rows it changed. */
  run(text: string, ...values: readonly SqlValue[]): Promise<number>;
  /**
   * Everything that `act` asks of this database, however deep below, is one transaction: all of it or nothing. Within another one it is
   * a part of that. It waits for its turn; what `act` waits for must not itself wait for a turn outside of it.
   * `undo` is told when it came to nothing, before anybody else has a turn.
   */
  transaction<T>(act: () => Promise<T>, undo?: () => void): Promise<T>;
  /** Within a transaction: whoever else wants to write to this table waits for its end. */
  lock(table: string): Promise<void>;
}
