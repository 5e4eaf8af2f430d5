import type { Sql } from '../../host/sql.ts';

interface Part {
  readonly write: () => Promise<void>;
  readonly done: () => void;
  readonly fail: (error: unknown) => void;
}

/**
 * Commits of several sites in one transaction: the disk is waited for once for all that came in while it was busy with those before. What
 * fails together is tried again one by one, so that the fault of one site is no other's.
 */
export class SharedCommits {
  readonly #sql: Sql;
  readonly #undo: () => void;
  readonly #sites = new Set<string>();
  #waiting: Part[] = [];
  #isWorking = false;

  /** `undo` is told of each transaction that came to nothing, before the next one begins. */
  constructor(sql: Sql, undo: () => void) {
    this.#sql = sql;
    this.#undo = undo;
  }

  /** Resolves once what `write` wrote is on the disk. It may be called a second time, where the first came to nothing. */
  commit(site: string, write: () => Promise<void>): Promise<void> {
    this.#sites.add(site);
    return new Promise((done, fail) => {
      this.#waiting.push({ write, done, fail });
      if (!this.#isWorking) void this.#work();
    });
  }

  async #work(): Promise<void> {
    this.#isWorking = true;
    while (this.#waiting.length > 0) {
      // Other sites' batches may lie in their sockets, where a wait for the disk left them. One site has one commit at a time, and waits for nobody.
      if (this.#sites.size > 1) await new Promise((resolve) => setImmediate(resolve));
      const parts = this.#waiting;
      this.#waiting = [];
      await this.#write(parts);
    }
    this.#isWorking = false;
  }

  async #write(parts: readonly Part[]): Promise<void> {
    try {
      await this.#sql.transaction(async () => {
        for (const { write } of parts) await write();
      }, this.#undo);
    } catch (error) {
      if (parts.length === 1) parts[0]?.fail(error);
      else for (const part of parts) await this.#write([part]);
      return;
    }
    for (const { done } of parts) done();
  }
}
