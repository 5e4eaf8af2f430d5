import type { LogEntry, LoggedReading } from '../../domain/site/log.ts';
import type { Sqlite } from '../../host/open-sqlite.ts';
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

/** Entries read at once, and the readings among them. */
const PAGE = 500;
const PAGE_READINGS = 20_000;

/** Reads a site's log in order, packed or not, and does not mind when it is packed meanwhile. */
export class LogReader {
  readonly #database: Sqlite;
  readonly #marks: PackMarks;

  constructor(database: Sqlite, marks: PackMarks) {
    this.#database = database;
    this.#marks = marks;
  }

  /** Entries after a position, up to `throughSeq`. */
  *read(site: string, afterSeq: number, throughSeq = Number.POSITIVE_INFINITY): Generator<LogEntry> {
    for (let after = afterSeq; after < throughSeq; ) {
      const entries = after < this.#marks.of(site).toSeq ? this.#readPack(site, after) : this.#readRows(site, after);
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
  #readPack(site: string, after: number): LogEntry[] {
    const packs = this.#database.prepare('SELECT id, from_seq, to_seq, bytes FROM pack WHERE site = ? AND to_seq > ? ORDER BY from_seq LIMIT 1').raw().all(site, after) as [number, number, number, Buffer][];
    const entries: LogEntry[] = [];
    for (const [pack, fromSeq, toSeq, bytes] of packs) {
      const rows = this.#database.prepare("SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq >= ? AND seq <= ? AND kind NOT IN ('batch', 'tick')").all(site, fromSeq, toSeq) as LogRow[];
      entries.push(...rows.map(toEntry));
      const readings = this.#packedReadings(pack);
      for (const { seq, atMs, batch } of bytes.length === 0 ? [] : decodeLog(bytes)) {
        if (seq <= after) continue;
        entries.push(batch ? { kind: 'batch', seq, atMs, origin: batch.origin, readings: readings(batch.first, batch.count) } : { kind: 'tick', seq, atMs });
      }
    }
    return entries.filter(({ seq }) => seq > after).sort((a, b) => a.seq - b.seq);
  }

  /** Finds a pack's readings by their place. What has been erased is missing. */
  #packedReadings(pack: number): (first: number, count: number) => LoggedReading[] {
    const rows = this.#database.prepare('SELECT owner, point, bytes FROM block JOIN series ON series.id = block.series WHERE pack = ? ORDER BY block.series, hour_ms, revision').raw().all(pack) as [string, string, Buffer][];
    const places = new Map<number, { owner: string; point: string; samples: Samples; origins: Origins; i: number }>();
    for (const [owner, point, bytes] of rows) {
      const samples = decodeSamples(bytes);
      const origins = decodeOrigins(bytes, samples);
      origins.id.forEach((id, i) => {
        // Computed values have no place among the readings.
        if (id > 0) places.set(id, { owner, point, samples, origins, i });
      });
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

  #readRows(site: string, after: number): LogEntry[] {
    const rows = this.#database.prepare('SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq > ? ORDER BY seq LIMIT ?').all(site, after, PAGE) as LogRow[];
    const entries: LogEntry[] = [];
    let readings = 0;
    for (const row of rows) {
      if (readings > PAGE_READINGS) break;
      if (row.kind !== 'batch') entries.push(toEntry(row));
      else {
        const body = JSON.parse(row.body) as BatchBody;
        entries.push({ kind: 'batch', seq: row.seq, atMs: row.at_ms, origin: body.origin ?? '', readings: this.#readBatch(body) });
        readings += body.count;
      }
    }
    return entries;
  }

  #readBatch({ first, count }: BatchBody): LoggedReading[] {
    const rows = this.#database
      .prepare('SELECT reading.id, owner, point, observed_ms, received_ms, value, quality, reason, late, sequence FROM reading JOIN series ON series.id = reading.series WHERE reading.id >= ? AND reading.id < ? ORDER BY reading.id')
      .all(first, first + count) as ReadingRow[];
    return rows.map(({ id: _id, observed_ms: observedAtMs, received_ms: receivedAtMs, late, ...rest }) => ({ ...rest, observedAtMs, receivedAtMs, late: late === 1 }));
  }
}

function toEntry({ seq, at_ms: atMs, kind, body }: LogRow): LogEntry {
  return { kind, seq, atMs, ...(JSON.parse(body) as object) } as LogEntry;
}
