import { AsyncLocalStorage } from 'node:async_hooks';
import type { Sqlite, SqliteStatement } from './open-sqlite.ts';
import type { Sql, SqlValue } from './sql.ts';

/** A transaction under way: whoever else wants the one connection waits for its end. */
interface Running {
  readonly ended: Promise<void>;
  isOver: boolean;
}

/** Texts kept prepared; preparing costs more than most statements do. Lists of `?` of any length make more texts than are worth keeping. */
const KEPT_STATEMENTS = 256;

/** SQLite behind the common interface. There is one connection, so what does not belong to a transaction waits until it has ended. */
export class SqliteSql implements Sql {
  readonly #database: Sqlite;
  readonly #statements = new Map<string, SqliteStatement>();
  readonly #within = new AsyncLocalStorage<Running>();
  #running: Running | null = null;
  /** The end of the last transaction that was asked for. */
  #last: Promise<void> = Promise.resolve();

  constructor(database: Sqlite) {
    this.#database = database;
  }

  all<R>(text: string, ...values: readonly SqlValue[]): Promise<R[]> {
    return this.inTurn(() => this.#prepare(text).all(...values) as R[]);
  }

  get<R>(text: string, ...values: readonly SqlValue[]): Promise<R | undefined> {
    return this.inTurn(() => this.#prepare(text).get(...values) as R | undefined);
  }

  run(text: string, ...values: readonly SqlValue[]): Promise<number> {
    return this.inTurn(() => this.#prepare(text).run(...values).changes);
  }

  #prepare(text: string): SqliteStatement {
    let statement = this.#statements.get(text);
    if (statement) return statement;
    if (this.#statements.size >= KEPT_STATEMENTS) this.#statements.clear();
    this.#statements.set(text, (statement = this.#database.prepare(text)));
    return statement;
  }

  /** Several statements at once, with nobody else's in between. */
  async inTurn<T>(act: (database: Sqlite) => T): Promise<T> {
    if (!this.#isWithin()) while (this.#running) await this.#running.ended;
    return act(this.#database);
  }

  async transaction<T>(act: () => Promise<T>, undo: () => void = () => undefined): Promise<T> {
    if (this.#isWithin()) return act();
    let end = (): void => undefined;
    const running: Running = { ended: new Promise((resolve) => (end = resolve)), isOver: false };
    const before = this.#last;
    this.#last = running.ended;
    await before;
    this.#running = running;
    try {
      return await this.#within.run(running, () => this.#inTransaction(act));
    } catch (error) {
      undo();
      throw error;
    } finally {
      running.isOver = true;
      this.#running = null;
      end();
    }
  }

  /** A transaction has the whole file to itself from its beginning. */
  lock(): Promise<void> {
    return Promise.resolve();
  }

  /** Takes the writer's place from the beginning: another process may write at the same time. */
  async #inTransaction<T>(act: () => Promise<T>): Promise<T> {
    this.#database.exec('BEGIN IMMEDIATE');
    try {
      const done = await act();
      this.#database.exec('COMMIT');
      return done;
    } catch (error) {
      // SQLite may have rolled back by itself, on a full disk for one.
      if (this.#database.inTransaction) this.#database.exec('ROLLBACK');
      throw error;
    }
  }

  /** What was begun within a transaction and outlived it is no part of it any more. */
  #isWithin(): boolean {
    return this.#within.getStore()?.isOver === false;
  }
}
