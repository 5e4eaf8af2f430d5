import { inTransaction } from '../../host/open-sqlite.ts';
import type { SqliteSql } from '../../host/sqlite-sql.ts';
import type { LogRow } from './log-reader.ts';
import type { PackMark, PackMarks } from './pack-marks.ts';
import type { Block, ComputedRow, KeptPack, Pack, PackTables, ReadingRow } from './pack-tables.ts';

/** What packing reads and writes in SQLite. */
export class SqlitePackTables implements PackTables {
  readonly #sql: SqliteSql;
  readonly #marks: PackMarks;

  constructor(sql: SqliteSql, marks: PackMarks) {
    this.#sql = sql;
    this.#marks = marks;
  }

  mark(site: string): Promise<PackMark> {
    return this.#sql.inTurn(() => this.#marks.of(site));
  }

  async edges(site: string, afterSeq: number): Promise<{ oldest: number | null; newest: number | null }> {
    const row = await this.#sql.get<{ oldest: number | null; newest: number | null }>(
      'SELECT (SELECT at_ms FROM log WHERE site = ?1 AND seq > ?2 ORDER BY seq LIMIT 1) AS oldest, (SELECT at_ms FROM log WHERE site = ?1 ORDER BY seq DESC LIMIT 1) AS newest',
      site, afterSeq,
    );
    return row ?? { oldest: null, newest: null };
  }

  log(site: string, afterSeq: number, limit: number): Promise<LogRow[]> {
    return this.#sql.all<LogRow>('SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq > ? ORDER BY seq LIMIT ?', site, afterSeq, limit);
  }

  /** Ids are counted over all sites; of the others' readings the caller knows by their series. */
  readings(_site: string, fromId: number, toId: number, limit: number): Promise<ReadingRow[]> {
    return this.#sql.all<ReadingRow>('SELECT series, observed_ms, received_ms, value, quality, late, reason, id, sequence FROM reading WHERE id >= ? AND id <= ? ORDER BY id LIMIT ?', fromId, toId, limit);
  }

  computed(series: number, from: PackMark, { toMs, toSeq }: Pack): Promise<ComputedRow[]> {
    return this.#sql.all<ComputedRow>('SELECT at_ms, value, quality, reason FROM computed WHERE series = ? AND at_ms <= ? AND seq <= ? AND (at_ms > ? OR seq > ?) ORDER BY at_ms', series, toMs, toSeq, from.toMs, from.toSeq);
  }

  async points(site: string): Promise<Map<number, string>> {
    const rows = await this.#sql.all<{ id: number; point: string }>('SELECT id, point FROM series WHERE site = ?', site);
    return new Map(rows.map(({ id, point }) => [id, point]));
  }

  async write({ site, fromSeq, toSeq, toMs, lastId }: Pack, log: Buffer, blocks: readonly Block[]): Promise<void> {
    await this.#sql.inTurn((database) => {
      const addPack = database.prepare('INSERT INTO pack (site, from_seq, to_seq, to_ms, last_id, bytes) VALUES (?, ?, ?, ?, ?, ?)');
      const revision = database.prepare('SELECT coalesce(max(revision), 0) + 1 AS next FROM block WHERE series = ? AND hour_ms = ?');
      const addBlock = database.prepare('INSERT INTO block (series, hour_ms, revision, pack, from_ms, to_ms, count, bytes) VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
      inTransaction(database, () => {
        const pack = addPack.run(site, fromSeq, toSeq, toMs, lastId, log).lastInsertRowid;
        for (const { series, hourMs, fromMs, toMs: lastMs, count, bytes } of blocks) {
          const { next } = revision.get(series, hourMs) as { next: number };
          addBlock.run(series, hourMs, next, pack, fromMs, lastMs, count, bytes);
        }
      })();
      this.#marks.forget();
    });
  }

  uncleared(site: string): Promise<KeptPack[]> {
    return this.#sql.all<KeptPack>('SELECT id, site, from_seq AS "fromSeq", to_seq AS "toSeq", to_ms AS "toMs", last_id AS "lastId" FROM pack WHERE site = ? AND is_cleared = 0', site);
  }

  clearReadings({ lastId }: KeptPack, series: readonly number[], limit: number): Promise<number> {
    return this.#sql.run(`DELETE FROM reading WHERE id IN (SELECT id FROM reading WHERE id <= ? AND +series IN (${series.join(', ')}) ORDER BY id LIMIT ?)`, lastId, limit);
  }

  clearComputed({ toMs, toSeq }: KeptPack, series: number, limit: number): Promise<number> {
    return this.#sql.run('DELETE FROM computed WHERE series = ?1 AND at_ms IN (SELECT at_ms FROM computed WHERE series = ?1 AND at_ms <= ?2 AND seq <= ?3 ORDER BY at_ms LIMIT ?4)', series, toMs, toSeq, limit);
  }

  async clearLog(site: string, fromSeq: number, beforeSeq: number): Promise<void> {
    await this.#sql.run("DELETE FROM log WHERE site = ? AND seq >= ? AND seq < ? AND kind IN ('batch', 'tick')", site, fromSeq, beforeSeq);
  }

  async noteCleared({ id }: KeptPack): Promise<void> {
    await this.#sql.run('UPDATE pack SET is_cleared = 1 WHERE id = ?', id);
  }
}
