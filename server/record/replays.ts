import { inTransaction, type Sqlite } from '../../host/open-sqlite.ts';

/** When recorded shifts were played again on a training site: whatever was recorded meanwhile is a replay for good. */
export class Replays {
  readonly #database: Sqlite;

  constructor(database: Sqlite) {
    this.#database = database;
  }

  /** Notes that a shift is played again from now on, or, with null, that none is any more. Saying it twice changes nothing. */
  note(site: string, record: string | null, atMs: number): void {
    const running = this.running(site);
    if (running === record) return;
    inTransaction(this.#database, () => {
      this.#database.prepare('UPDATE replay SET to_ms = ? WHERE site = ? AND to_ms IS NULL').run(atMs, site);
      if (record !== null) this.#database.prepare('INSERT INTO replay (site, record, from_ms) VALUES (?, ?, ?)').run(site, record, atMs);
    })();
  }

  /** The shift that is played again now; null where none is. */
  running(site: string): string | null {
    const row = this.#database.prepare('SELECT record FROM replay WHERE site = ? AND to_ms IS NULL').get(site) as { record: string } | undefined;
    return row?.record ?? null;
  }

  /** True where a replay reached into this stretch. */
  reachesInto(site: string, fromMs: number, toMs: number): boolean {
    return this.#database.prepare('SELECT 1 FROM replay WHERE site = ? AND from_ms <= ? AND coalesce(to_ms, ?) >= ? LIMIT 1').get(site, toMs, toMs, fromMs) !== undefined;
  }
}
