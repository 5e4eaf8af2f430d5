import type { LogEntry, LoggedReading } from '../../domain/site/log.ts';
import type { Sqlite } from '../../host/open-sqlite.ts';
import type { SqliteSql } from '../../host/sqlite-sql.ts';
import { decodeLog } from './blocks/log-block.ts';
import { decodeOrigins, decodeSamples, LATE, type Origins, qualityOf, type Samples } from './blocks/sample-block.ts';
import type { PackMarks } from './pack-marks.ts';

/** A batch's place among the readings, instead of the readings a second time. */
export interface BatchBody {
  readonly first: number;
  readonly count: number;
  /** Missing in entries of the first version. */
  readonly origin?: string;
}

export interface LogRow {
  readonly seq: number;
  readonly at_ms: number;
  readonly kind: LogEntry['kind'];
  readonly body: string;
}

interface ReadingRow {
  readonly id: number;
  readonly owner: string;
  readonly point: string;
  readonly observed_ms: number;
  readonly received_ms: number;
  readonly value: number | null;
  readonly quality: LoggedReading['quality'];
  readonly reason: LoggedReading['reason'];
  readonly late: number;
  readonly sequence: number;
}

/** Hears of a block that can't be read. */
export type OnDamage = (what: string, error: Error) => void;

/** Entries read at once, and the readings among them. */
const PAGE = 500;
const PAGE_READINGS = 20_000;

/** Reads a site's log in order, packed or not, and does not mind when it is packed meanwhile. */
export class LogReader {
  readonly #sql: SqliteSql;
  readonly #marks: PackMarks;

  readonly #onDamage: OnDamage;

  constructor(sql: SqliteSql, marks: PackMarks, onDamage: OnDamage) {
    this.#sql = sql;
    this.#marks = marks;
    this.#onDamage = onDamage;
  }

  /** Entries after a position, up to `throughSeq`. */
  async *read(site: string, afterSeq: number, throughSeq = Number.POSITIVE_INFINITY): AsyncGenerator<LogEntry> {
    for (let after = afterSeq; after < throughSeq; ) {
      const from = after;
      const entries = await this.#sql.inTurn((database) => (from < this.#marks.of(site).toSeq ? this.#readPack(database, site, from) : this.#readRows(database, site, from)));
      for (const entry of entries) {
        if (entry.seq > throughSeq) return;
        yield entry;
      }
      const last = entries.at(-1)?.seq;
      if (last === undefined) return;
      after = last;
    }
  }

  /** What follows a position within the pack that has it. */
  #readPack(database: Sqlite, site: string, after: number): LogEntry[] {
    const [row] = database.prepare('SELECT id, from_seq, to_seq, to_ms, bytes FROM pack WHERE site = ? AND to_seq > ? ORDER BY from_seq LIMIT 1').raw().all(site, after) as [number, number, number, number, Buffer][];
    if (!row) return [];
    const [pack, fromSeq, toSeq, toMs, bytes] = row;
    const rows = database.prepare("SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq >= ? AND seq <= ? AND kind NOT IN ('batch', 'tick')").all(site, fromSeq, toSeq) as LogRow[];
    const entries = rows.map(toEntry);
    try {
      const readings = this.#packedReadings(database, pack);
      for (const { seq, atMs, batch } of bytes.length === 0 ? [] : decodeLog(bytes)) {
        if (seq <= after) continue;
        entries.push(batch ? { kind: 'batch', seq, atMs, origin: batch.origin, readings: readings(batch.first, batch.count) } : { kind: 'tick', seq, atMs });
      }
    } catch (error) {
      const reason = (error as Error).message;
      this.#onDamage(`${site}: entries ${fromSeq} to ${toSeq} of the log`, error as Error);
      const known = new Set(entries.map(({ seq }) => seq));
      for (let seq = fromSeq; seq <= toSeq; seq += 1) if (!known.has(seq)) entries.push({ kind: 'quarantine', seq, atMs: toMs, what: 'batch or tick', reason, held: '' });
    }
    return entries.filter(({ seq }) => seq > after).sort((a, b) => a.seq - b.seq);
  }

  /** Finds a pack's readings by their place. What has been erased, or lies in a damaged block, is missing. */
  #packedReadings(database: Sqlite, pack: number): (first: number, count: number) => LoggedReading[] {
    const rows = database.prepare('SELECT owner, point, bytes FROM block JOIN series ON series.id = block.series WHERE pack = ? ORDER BY block.series, hour_ms, revision').raw().all(pack) as [string, string, Buffer][];
    const places = new Map<number, { owner: string; point: string; samples: Samples; origins: Origins; i: number }>();
    for (const [owner, point, bytes] of rows) {
      try {
        const samples = decodeSamples(bytes);
        const origins = decodeOrigins(bytes, samples);
        origins.id.forEach((id, i) => {
          // Computed values have no place among the readings.
          if (id > 0) places.set(id, { owner, point, samples, origins, i });
        });
      } catch (error) {
        this.#onDamage(`an hour of ${owner}/${point}`, error as Error);
      }
    }
    return (first, count) =>
      Array.from({ length: count }, (_, i) => places.get(first + i)).flatMap((place): LoggedReading[] => {
        if (!place) return [];
        const { owner, point, samples, origins, i } = place;
        const value = samples.value[i] ?? Number.NaN;
        const mark = samples.mark[i] ?? 0;
        return [{ owner, point, observedAtMs: samples.atMs[i] ?? 0, receivedAtMs: origins.receivedMs[i] ?? 0, value: Number.isNaN(value) ? null : value, quality: qualityOf(mark), reason: origins.reason[i] ?? null, late: (mark & LATE) !== 0, sequence: origins.sequence[i] ?? 0 }];
      });
  }

  #readRows(database: Sqlite, site: string, after: number): LogEntry[] {
    const rows = database.prepare('SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq > ? ORDER BY seq LIMIT ?').all(site, after, PAGE) as LogRow[];
    const entries: LogEntry[] = [];
    let readings = 0;
    for (const row of rows) {
      if (readings > PAGE_READINGS) break;
      const entry = toEntry(row);
      if (entry.kind === 'batch') {
        const { first, count, origin = '' } = JSON.parse(row.body) as BatchBody;
        entries.push({ kind: 'batch', seq: row.seq, atMs: row.at_ms, origin, readings: this.#readBatch(database, first, count) });
        readings += count;
      } else entries.push(entry);
    }
    return entries;
  }

  #readBatch(database: Sqlite, first: number, count: number): LoggedReading[] {
    const rows = database
      .prepare('SELECT reading.id, owner, point, observed_ms, received_ms, value, quality, reason, late, sequence FROM reading JOIN series ON series.id = reading.series WHERE reading.id >= ? AND reading.id < ? ORDER BY reading.id')
      .all(first, first + count) as ReadingRow[];
    return rows.map(({ id: _id, observed_ms: observedAtMs, received_ms: receivedAtMs, late, ...rest }) => ({ ...rest, observedAtMs, receivedAtMs, late: late === 1 }));
  }
}

function toEntry({ seq, at_ms: atMs, kind, body }: LogRow): LogEntry {
  try {
    return { kind, seq, atMs, ...(JSON.parse(body) as object) } as LogEntry;
  } catch (error) {
    // One damaged row must not keep the others from being read.
    return { kind: 'quarantine', seq, atMs, what: kind, reason: `its row can’t be read: ${(error as Error).message}`, held: body };
  }
}
