import type { LogEntry, LoggedReading } from '../../domain/site/log.ts';
import { decodeLog } from './blocks/log-block.ts';
import { decodeOrigins, decodeSamples, LATE, type Origins, qualityOf, type Samples } from './blocks/sample-block.ts';
import { type PackPage, type ReadTables, toEntry } from './read-tables.ts';

export interface LogRow {
  readonly seq: number;
  readonly at_ms: number;
  readonly kind: LogEntry['kind'];
  readonly body: string;
}

/** Hears of a block that can't be read. */
export type OnDamage = (what: string, error: Error) => void;

/** Reads a site's log in order, packed or not, and does not mind when it is packed meanwhile. */
export class LogReader {
  readonly #tables: ReadTables;
  readonly #onDamage: OnDamage;

  constructor(tables: ReadTables, onDamage: OnDamage) {
    this.#tables = tables;
    this.#onDamage = onDamage;
  }

  /** Entries after a position, up to `throughSeq`. */
  async *read(site: string, afterSeq: number, throughSeq = Number.POSITIVE_INFINITY): AsyncGenerator<LogEntry> {
    for (let after = afterSeq; after < throughSeq; ) {
      const page = await this.#tables.logPage(site, after);
      const entries = 'pack' in page ? this.#unpack(site, after, page.pack) : page.entries;
      for (const entry of entries) {
        if (entry.seq > throughSeq) return;
        yield entry;
      }
      const last = entries.at(-1)?.seq;
      if (last === undefined) return;
      after = last;
    }
  }

  /** What follows a position within a pack. */
  #unpack(site: string, after: number, { fromSeq, toSeq, toMs, bytes, others, blocks }: PackPage): LogEntry[] {
    const entries = others.map(toEntry);
    try {
      const readings = this.#packedReadings(blocks);
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
  #packedReadings(blocks: PackPage['blocks']): (first: number, count: number) => LoggedReading[] {
    const places = new Map<number, { owner: string; point: string; samples: Samples; origins: Origins; i: number }>();
    for (const { owner, point, bytes } of blocks) {
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
}
