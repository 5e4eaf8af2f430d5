import type { PostgresSql } from '../../../host/postgres-sql.ts';
import type { LogRow } from '../log-reader.ts';
import { NOTHING_PACKED, type PackMark } from '../pack-marks.ts';
import type { Block, ComputedRow, KeptPack, Pack, PackTables, ReadingRow } from '../pack-tables.ts';
import type { Leases } from './leases.ts';
import type { Partitions } from './partitions.ts';

/** How far a site's log is packed, as the caller's transaction sees it. */
export async function markOf(sql: PostgresSql, site: string): Promise<PackMark> {
  return (await sql.get<PackMark>('SELECT to_seq AS "toSeq", to_ms AS "toMs", last_id AS "lastId" FROM pack WHERE site = ? ORDER BY from_seq DESC LIMIT 1', site)) ?? NOTHING_PACKED;
}

/** What packing reads and writes in PostgreSQL. */
export class PostgresPackTables implements PackTables {
  readonly #leases: Leases;
  readonly #sql: PostgresSql;
  readonly #partitions: Partitions;

  constructor(sql: PostgresSql, partitions: Partitions, leases: Leases) {
    this.#leases = leases;
    this.#sql = sql;
    this.#partitions = partitions;
  }

  mark(site: string): Promise<PackMark> {
    return markOf(this.#sql, site);
  }

  async edges(site: string, afterSeq: number): Promise<{ oldest: number | null; newest: number | null }> {
    const row = await this.#sql.get<{ oldest: number | null; newest: number | null }>(
      'SELECT (SELECT at_ms FROM log WHERE site = ? AND seq > ? ORDER BY seq LIMIT 1) AS oldest, (SELECT at_ms FROM log WHERE site = ? ORDER BY seq DESC LIMIT 1) AS newest',
      site, afterSeq, site,
    );
    return row ?? { oldest: null, newest: null };
  }

  log(site: string, afterSeq: number, limit: number): Promise<LogRow[]> {
    return this.#sql.all<LogRow>('SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq > ? ORDER BY seq LIMIT ?', site, afterSeq, limit);
  }

  readings(site: string, fromId: number, toId: number, limit: number): Promise<ReadingRow[]> {
    return this.#sql.all<ReadingRow>('SELECT series, observed_ms, received_ms, value, quality, late, reason, id, sequence FROM reading WHERE site = ? AND id >= ? AND id <= ? ORDER BY id LIMIT ?', site, fromId, toId, limit);
  }

  computed(series: number, from: PackMark, { site, toMs, toSeq }: Pack): Promise<ComputedRow[]> {
    return this.#sql.all<ComputedRow>('SELECT at_ms, value, quality, reason FROM computed WHERE site = ? AND series = ? AND at_ms <= ? AND seq <= ? AND (at_ms > ? OR seq > ?) ORDER BY at_ms', site, series, toMs, toSeq, from.toMs, from.toSeq);
  }

  async points(site: string): Promise<Map<number, string>> {
    const rows = await this.#sql.all<{ id: number; point: string }>('SELECT id, point FROM series WHERE site = ? ORDER BY id', site);
    return new Map(rows.map(({ id, point }) => [id, point]));
  }

  async write({ site, fromSeq, toSeq, toMs, lastId }: Pack, log: Buffer, blocks: readonly Block[]): Promise<void> {
    await this.#partitions.ensure(['block'], blocks.map(({ hourMs }) => hourMs));
    await this.#sql.transaction(async () => {
      await this.#leases.check(site);
      // A second packer of the same stretch, in another server, fails here: the stretch is packed once.
      const pack = await this.#sql.get<{ id: number }>('INSERT INTO pack (site, from_seq, to_seq, to_ms, last_id, bytes) VALUES (?, ?, ?, ?, ?, ?) RETURNING id', site, fromSeq, toSeq, toMs, lastId, log);
      for (const { series, hourMs, fromMs, toMs: lastMs, count, bytes } of blocks) {
        await this.#sql.run(
          `INSERT INTO block (site, series, hour_ms, revision, pack, from_ms, to_ms, count, bytes)
           VALUES (?, ?, ?, (SELECT coalesce(max(revision), 0) + 1 FROM block WHERE site = ? AND series = ? AND hour_ms = ?), ?, ?, ?, ?, ?)`,
          site, series, hourMs, site, series, hourMs, pack?.id ?? 0, fromMs, lastMs, count, bytes,
        );
      }
    });
  }

  uncleared(site: string): Promise<KeptPack[]> {
    return this.#sql.all<KeptPack>('SELECT id, site, from_seq AS "fromSeq", to_seq AS "toSeq", to_ms AS "toMs", last_id AS "lastId" FROM pack WHERE site = ? AND is_cleared = 0', site);
  }

  clearReadings({ site, lastId, toMs }: KeptPack, _series: readonly number[], limit: number): Promise<number> {
    return this.#sql.run('DELETE FROM reading WHERE site = ? AND at_ms <= ? AND id IN (SELECT id FROM reading WHERE site = ? AND id <= ? AND at_ms <= ? ORDER BY id LIMIT ?)', site, toMs, site, lastId, toMs, limit);
  }

  clearComputed({ site, toMs, toSeq }: KeptPack, series: number, limit: number): Promise<number> {
    return this.#sql.run(
      'DELETE FROM computed WHERE site = ? AND series = ? AND at_ms IN (SELECT at_ms FROM computed WHERE site = ? AND series = ? AND at_ms <= ? AND seq <= ? ORDER BY at_ms LIMIT ?)',
      site, series, site, series, toMs, toSeq, limit,
    );
  }

  async clearLog(site: string, fromSeq: number, beforeSeq: number): Promise<void> {
    await this.#sql.run("DELETE FROM log WHERE site = ? AND seq >= ? AND seq < ? AND kind IN ('batch', 'tick')", site, fromSeq, beforeSeq);
  }

  async noteCleared({ id }: KeptPack): Promise<void> {
    await this.#sql.run('UPDATE pack SET is_cleared = 1 WHERE id = ?', id);
  }
}
