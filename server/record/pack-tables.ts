import type { Quality, QualityReason } from '../../domain/points/reading.ts';
import type { LogRow } from './log-reader.ts';
import type { PackMark } from './pack-marks.ts';

/** A reading as a row. */
export interface ReadingRow {
  readonly series: number;
  readonly observed_ms: number;
  readonly received_ms: number;
  readonly value: number | null;
  readonly quality: Quality;
  readonly late: number;
  readonly reason: QualityReason | null;
  readonly id: number;
  readonly sequence: number;
}

/** A computed value as a row. */
export interface ComputedRow {
  readonly at_ms: number;
  readonly value: number | null;
  readonly quality: Quality;
  readonly reason: QualityReason | null;
}

/** One point's samples of an hour, packed. */
export interface Block {
  readonly series: number;
  readonly hourMs: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly count: number;
  readonly bytes: Buffer;
}

/** A stretch of a site's log that is packed: up to which entry, time and reading. */
export interface Pack extends PackMark {
  readonly site: string;
  readonly fromSeq: number;
}

export interface KeptPack extends Pack {
  readonly id: number;
}

/** What packing reads and writes, whichever the database is. Each call is short: the fold must not wait long for it. */
export interface PackTables {
  mark(site: string): Promise<PackMark>;
  /** Times of the first entry after a position and of the newest one; null where there is none. */
  edges(site: string, afterSeq: number): Promise<{ readonly oldest: number | null; readonly newest: number | null }>;
  log(site: string, afterSeq: number, limit: number): Promise<LogRow[]>;
  readings(site: string, fromId: number, toId: number, limit: number): Promise<ReadingRow[]>;
  /** Computed values of one series that are not packed yet, up to the end of a stretch. */
  computed(series: number, from: PackMark, stretch: Pack): Promise<ComputedRow[]>;
  /** Series of a site and their points. */
  points(site: string): Promise<Map<number, string>>;
  /** The rows of a stretch become blocks, whole or not at all. */
  write(pack: Pack, log: Buffer, blocks: readonly Block[]): Promise<void>;
  /** Packs of which there may be rows left. */
  uncleared(site: string): Promise<KeptPack[]>;
  /** Each removes at most `limit` rows that are in a pack and answers with how many it removed. */
  clearReadings(pack: KeptPack, series: readonly number[], limit: number): Promise<number>;
  clearComputed(pack: KeptPack, series: number, limit: number): Promise<number>;
  /** Batches and ticks from one entry on and before another. */
  clearLog(site: string, fromSeq: number, beforeSeq: number): Promise<void>;
  noteCleared(pack: KeptPack): Promise<void>;
}
