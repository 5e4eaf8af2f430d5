import type { Sql } from '../../host/sql.ts';

/** When recorded shifts were played again on a training site: whatever was recorded meanwhile is a replay for good. */
export class Replays {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Notes that a shift is played again from now on, or, with null, that none is any more. Saying it twice changes nothing. */
  async note(site: string, record: string | null, atMs: number): Promise<void> {
    await this.#sql.transaction(async () => {
      if ((await this.running(site)) === record) return;
      await this.#sql.run('UPDATE replay SET to_ms = ? WHERE site = ? AND to_ms IS NULL', atMs, site);
      if (record !== null) await this.#sql.run('INSERT INTO replay (site, record, from_ms) VALUES (?, ?, ?)', site, record, atMs);
    });
  }

  /** The shift that is played again now; null where none is. */
  async running(site: string): Promise<string | null> {
    const row = await this.#sql.get<{ record: string }>('SELECT record FROM replay WHERE site = ? AND to_ms IS NULL', site);
    return row?.record ?? null;
  }

  /** True where a replay reached into this stretch. */
  async reachesInto(site: string, fromMs: number, toMs: number): Promise<boolean> {
    return (await this.#sql.get('SELECT 1 FROM replay WHERE site = ? AND from_ms <= ? AND coalesce(to_ms, ?) >= ? LIMIT 1', site, toMs, toMs, fromMs)) !== undefined;
  }
}
