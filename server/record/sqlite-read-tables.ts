import type { LogEntry, LoggedReading } from '../../domain/site/log.ts';
import type { Sqlite } from '../../host/open-sqlite.ts';
import type { SqliteSql } from '../../host/sqlite-sql.ts';
import type { Samples } from './blocks/sample-block.ts';
import type { LogRow } from './log-reader.ts';
import type { PackMarks } from './pack-marks.ts';
import { readRows } from './read-rows.ts';
import { type BatchBody, type BlockRow, HOUR_MS, type LoggedRow, type LogPage, MARK, PAGE, PAGE_READINGS, type PackPage, type ReadingOfPoint, type ReadTables, SLACK_MS, type Stretch, toEntry, toLogged } from './read-tables.ts';
import type { SeriesIds } from './series-ids.ts';

const NO_SAMPLES: Samples = { atMs: new Float64Array(), value: new Float64Array(), mark: new Uint8Array() };

/** What reading the record asks of SQLite. Each answer is made at once, so nothing is packed in its middle. */
export class SqliteReadTables implements ReadTables {
  readonly #sql: SqliteSql;
  readonly #marks: PackMarks;
  readonly #series: SeriesIds;

  constructor(sql: SqliteSql, marks: PackMarks, series: SeriesIds) {
    this.#sql = sql;
    this.#marks = marks;
    this.#series = series;
  }

  logPage(site: string, afterSeq: number): Promise<LogPage> {
    return this.#sql.inTurn((database) => {
      const pack = afterSeq < this.#marks.of(site).toSeq ? readPack(database, site, afterSeq) : null;
      return pack ? { pack } : { entries: readEntries(database, site, afterSeq) };
    });
  }

  series({ site, owner, point, fromMs, toMs }: Stretch, isComputed: boolean): Promise<{ blocks: BlockRow[]; rows: Samples }> {
    return this.#sql.inTurn((database) => {
      const series = this.#series.find(site, owner, point);
      if (series === undefined) return { blocks: [], rows: NO_SAMPLES };
      const blocks = database
        .prepare('SELECT pack, from_ms, to_ms, bytes FROM block WHERE series = ? AND hour_ms > ? AND hour_ms <= ? AND to_ms >= ? AND from_ms <= ?')
        .raw()
        .all(series, fromMs - HOUR_MS - SLACK_MS, toMs + SLACK_MS, fromMs, toMs) as [number, number, number, Buffer][];
      const mark = this.#marks.of(site);
      const rows = isComputed
        ? readRows(database, `SELECT at_ms, value, ${MARK} AS mark FROM computed WHERE series = ? AND at_ms >= ? AND at_ms <= ? AND (at_ms > ? OR seq > ?) ORDER BY at_ms`, series, fromMs, toMs, mark.toMs, mark.toSeq)
        : readRows(database, `SELECT observed_ms AS at_ms, value, ${MARK} | (late << 2) AS mark FROM reading WHERE series = ? AND observed_ms >= ? AND observed_ms <= ? AND id > ? ORDER BY observed_ms, id`, series, fromMs, toMs, mark.lastId);
      return { blocks: blocks.map(([pack, firstMs, lastMs, bytes]) => ({ pack, fromMs: firstMs, toMs: lastMs, bytes })), rows };
    });
  }

  logged({ site, owner, point, fromMs, toMs }: Stretch): Promise<{ blocks: Buffer[]; rows: ReadingOfPoint[] }> {
    return this.#sql.inTurn((database) => {
      const series = this.#series.find(site, owner, point);
      if (series === undefined) return { blocks: [], rows: [] };
      const blocks = database.prepare('SELECT bytes FROM block WHERE series = ? AND hour_ms > ? AND hour_ms <= ? AND to_ms >= ? AND from_ms < ?').raw().all(series, fromMs - HOUR_MS - SLACK_MS, toMs + SLACK_MS, fromMs, toMs) as [Buffer][];
      const rows = database
        .prepare('SELECT id, observed_ms, received_ms, value, quality, reason, late, sequence FROM reading WHERE series = ? AND observed_ms >= ? AND observed_ms < ? AND id > ?')
        .all(series, fromMs, toMs, this.#marks.of(site).lastId) as ReadingOfPoint[];
      return { blocks: blocks.map(([bytes]) => bytes), rows };
    });
  }
}

function readPack(database: Sqlite, site: string, after: number): PackPage | null {
  const [row] = database.prepare('SELECT id, from_seq, to_seq, to_ms, bytes FROM pack WHERE site = ? AND to_seq > ? ORDER BY from_seq LIMIT 1').raw().all(site, after) as [number, number, number, number, Buffer][];
  if (!row) return null;
  const [pack, fromSeq, toSeq, toMs, bytes] = row;
  const others = database.prepare("SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq >= ? AND seq <= ? AND kind NOT IN ('batch', 'tick')").all(site, fromSeq, toSeq) as LogRow[];
  const blocks = database.prepare('SELECT owner, point, bytes FROM block JOIN series ON series.id = block.series WHERE pack = ? ORDER BY block.series, hour_ms, revision').raw().all(pack) as [string, string, Buffer][];
  return { fromSeq, toSeq, toMs, bytes, others, blocks: blocks.map(([owner, point, held]) => ({ owner, point, bytes: held })) };
}

function readEntries(database: Sqlite, site: string, after: number): LogEntry[] {
  const rows = database.prepare('SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq > ? ORDER BY seq LIMIT ?').all(site, after, PAGE) as LogRow[];
  const entries: LogEntry[] = [];
  let readings = 0;
  for (const row of rows) {
    if (readings > PAGE_READINGS) break;
    const entry = toEntry(row);
    if (entry.kind === 'batch') {
      const { first, count, origin = '' } = JSON.parse(row.body) as BatchBody;
      entries.push({ kind: 'batch', seq: row.seq, atMs: row.at_ms, origin, readings: readBatch(database, first, count) });
      readings += count;
    } else entries.push(entry);
  }
  return entries;
}

function readBatch(database: Sqlite, first: number, count: number): LoggedReading[] {
  const rows = database
    .prepare('SELECT reading.id, owner, point, observed_ms, received_ms, value, quality, reason, late, sequence FROM reading JOIN series ON series.id = reading.series WHERE reading.id >= ? AND reading.id < ? ORDER BY reading.id')
    .all(first, first + count) as LoggedRow[];
  return rows.map(toLogged);
}
