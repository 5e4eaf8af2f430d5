import type { LogEntry } from '../../../domain/site/log.ts';
import type { PostgresSql } from '../../../host/postgres-sql.ts';
import type { Samples } from '../blocks/sample-block.ts';
import type { LogRow } from '../log-reader.ts';
import { type BatchBody, type BlockRow, HOUR_MS, type LoggedRow, type LogPage, MARK, PAGE, PAGE_READINGS, type PackPage, type ReadingOfPoint, type ReadTables, SLACK_MS, type Stretch, toEntry, toLogged } from '../read-tables.ts';
import { markOf } from './pack-tables.ts';

/** What reading the record asks of PostgreSQL: each answer in a transaction that sees one moment. */
export class PostgresReadTables implements ReadTables {
  readonly #sql: PostgresSql;

  constructor(sql: PostgresSql) {
    this.#sql = sql;
  }

  logPage(site: string, afterSeq: number): Promise<LogPage> {
    return this.#sql.atOneMoment(async () => {
      const { toSeq } = await markOf(this.#sql, site);
      const pack = afterSeq < toSeq ? await this.#pack(site, afterSeq) : null;
      return pack ? { pack } : { entries: await this.#entries(site, afterSeq) };
    });
  }

  series({ site, owner, point, fromMs, toMs }: Stretch, isComputed: boolean): Promise<{ blocks: BlockRow[]; rows: Samples }> {
    return this.#sql.atOneMoment(async () => {
      const series = await this.#seriesOf(site, owner, point);
      const blocks = await this.#sql.all<BlockRow>(
        'SELECT pack, from_ms AS "fromMs", to_ms AS "toMs", bytes FROM block WHERE series = ? AND hour_ms > ? AND hour_ms <= ? AND to_ms >= ? AND from_ms <= ?',
        series, fromMs - HOUR_MS - SLACK_MS, toMs + SLACK_MS, fromMs, toMs,
      );
      const mark = await markOf(this.#sql, site);
      const rows = isComputed
        ? await this.#sql.all<SampleRow>(`SELECT at_ms, value, ${MARK} AS mark FROM computed WHERE series = ? AND at_ms >= ? AND at_ms <= ? AND (at_ms > ? OR seq > ?) ORDER BY at_ms`, series, fromMs, toMs, mark.toMs, mark.toSeq)
        : await this.#sql.all<SampleRow>(`SELECT observed_ms AS at_ms, value, ${MARK} | (late << 2) AS mark FROM reading WHERE series = ? AND observed_ms >= ? AND observed_ms <= ? AND id > ? AND at_ms >= ? ORDER BY observed_ms, id`, series, fromMs, toMs, mark.lastId, mark.toMs);
      return { blocks, rows: { atMs: Float64Array.from(rows, ({ at_ms: atMs }) => atMs), value: Float64Array.from(rows, ({ value }) => value ?? Number.NaN), mark: Uint8Array.from(rows, ({ mark: bits }) => bits) } };
    });
  }

  logged({ site, owner, point, fromMs, toMs }: Stretch): Promise<{ blocks: Buffer[]; rows: ReadingOfPoint[] }> {
    return this.#sql.atOneMoment(async () => {
      const series = await this.#seriesOf(site, owner, point);
      const blocks = await this.#sql.all<{ bytes: Buffer }>('SELECT bytes FROM block WHERE series = ? AND hour_ms > ? AND hour_ms <= ? AND to_ms >= ? AND from_ms < ?', series, fromMs - HOUR_MS - SLACK_MS, toMs + SLACK_MS, fromMs, toMs);
      const mark = await markOf(this.#sql, site);
      const rows = await this.#sql.all<ReadingOfPoint>(
        'SELECT id, observed_ms, received_ms, value, quality, reason, late, sequence FROM reading WHERE series = ? AND observed_ms >= ? AND observed_ms < ? AND id > ? AND at_ms >= ?',
        series, fromMs, toMs, mark.lastId, mark.toMs,
      );
      return { blocks: blocks.map(({ bytes }) => bytes), rows };
    });
  }

  /** 0, which is nobody's, where there is none. */
  async #seriesOf(site: string, owner: string, point: string): Promise<number> {
    return (await this.#sql.get<{ id: number }>('SELECT id FROM series WHERE site = ? AND owner = ? AND point = ?', site, owner, point))?.id ?? 0;
  }

  async #pack(site: string, after: number): Promise<PackPage | null> {
    const row = await this.#sql.get<{ id: number; from_seq: number; to_seq: number; to_ms: number; bytes: Buffer }>('SELECT id, from_seq, to_seq, to_ms, bytes FROM pack WHERE site = ? AND to_seq > ? ORDER BY from_seq LIMIT 1', site, after);
    if (!row) return null;
    const { id, from_seq: fromSeq, to_seq: toSeq, to_ms: toMs, bytes } = row;
    const others = await this.#sql.all<LogRow>("SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq >= ? AND seq <= ? AND at_ms <= ? AND kind NOT IN ('batch', 'tick')", site, fromSeq, toSeq, toMs);
    const blocks = await this.#sql.all<PackPage['blocks'][number]>('SELECT owner, point, bytes FROM block JOIN series ON series.id = block.series WHERE pack = ? ORDER BY block.series, hour_ms, revision', id);
    return { fromSeq, toSeq, toMs, bytes, others, blocks };
  }

  async #entries(site: string, after: number): Promise<LogEntry[]> {
    const found = await this.#sql.all<LogRow>('SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq > ? ORDER BY seq LIMIT ?', site, after, PAGE);
    const entries: { row: LogRow; batch: BatchBody | null; entry: LogEntry }[] = [];
    let count = 0;
    for (const row of found) {
      if (count > PAGE_READINGS) break;
      const entry = toEntry(row);
      const batch = entry.kind === 'batch' ? (JSON.parse(row.body) as BatchBody) : null;
      count += batch?.count ?? 0;
      entries.push({ row, batch, entry });
    }
    const batches = entries.flatMap(({ batch }) => (batch && batch.count > 0 ? [batch] : []));
    const [first, last] = [batches[0], batches.at(-1)];
    const readings = first && last ? await this.#readings(site, first.first, last.first + last.count, entries) : new Map<number, LoggedRow>();
    return entries.map(({ row, batch, entry }): LogEntry => {
      if (!batch) return entry;
      const held = Array.from({ length: batch.count }, (_, i) => readings.get(batch.first + i)).flatMap((one) => (one ? [toLogged(one)] : []));
      return { kind: 'batch', seq: row.seq, atMs: row.at_ms, origin: batch.origin ?? '', readings: held };
    });
  }

  /** All readings of a page at once: a question for each batch would cost its way there and back. */
  async #readings(site: string, fromId: number, beforeId: number, entries: readonly { readonly row: LogRow }[]): Promise<Map<number, LoggedRow>> {
    const rows = await this.#sql.all<LoggedRow>(
      `SELECT reading.id, owner, point, observed_ms, received_ms, value, quality, reason, late, sequence FROM reading JOIN series ON series.id = reading.series
       WHERE reading.site = ? AND reading.id >= ? AND reading.id < ? AND reading.at_ms >= ? AND reading.at_ms <= ?`,
      site, fromId, beforeId, entries[0]?.row.at_ms ?? 0, entries.at(-1)?.row.at_ms ?? 0,
    );
    return new Map(rows.map((row) => [row.id, row]));
  }
}

interface SampleRow {
  readonly at_ms: number;
  readonly value: number | null;
  readonly mark: number;
}
