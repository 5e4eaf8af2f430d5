import type { QualityReason } from '../../domain/points/reading.ts';
import type { LogEntry, LoggedReading } from '../../domain/site/log.ts';
import type { Samples } from './blocks/sample-block.ts';
import type { LogRow } from './log-reader.ts';
import type { ReadingRow } from './pack-tables.ts';

/** A pack of the log as it lies in the database. */
export interface PackPage {
  readonly fromSeq: number;
  readonly toSeq: number;
  readonly toMs: number;
  readonly bytes: Buffer;
  /** What is kept as rows of the same stretch: all but batches and ticks. */
  readonly others: readonly LogRow[];
  /** In order of series, hour and revision. */
  readonly blocks: readonly { readonly owner: string; readonly point: string; readonly bytes: Buffer }[];
}

/** What follows a position of a log: the pack that has it, or some entries that are not packed yet. */
export type LogPage = { readonly pack: PackPage } | { readonly entries: readonly LogEntry[] };

/** One packed hour of a point that may have something of a stretch. */
export interface BlockRow {
  readonly pack: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly bytes: Buffer;
}

export interface Stretch {
  readonly site: string;
  readonly owner: string;
  readonly point: string;
  readonly fromMs: number;
  readonly toMs: number;
}

export type ReadingOfPoint = Omit<ReadingRow, 'series' | 'reason'> & { readonly reason: QualityReason | null };

/** What reading the record asks of a database. Each answer is of one moment: what is packed meanwhile is in it once. */
export interface ReadTables {
  logPage(site: string, afterSeq: number): Promise<LogPage>;
  /** Blocks and not yet packed rows of a point, both ends included; `isComputed` tells the table. */
  series(stretch: Stretch, isComputed: boolean): Promise<{ readonly blocks: readonly BlockRow[]; readonly rows: Samples }>;
  /** Blocks and rows of a measured point before `toMs`, with all that is kept of each. */
  logged(stretch: Stretch): Promise<{ readonly blocks: readonly Buffer[]; readonly rows: readonly ReadingOfPoint[] }>;
}

/** A batch's place among the readings, instead of the readings a second time. */
export interface BatchBody {
  readonly first: number;
  readonly count: number;
  /** Missing in entries of the first version. */
  readonly origin?: string;
}

/** Entries read at once, and the readings among them. */
export const PAGE = 500;
export const PAGE_READINGS = 20_000;

export const HOUR_MS = 3_600_000;
/** A live reading that lies this close to the hour of its entry goes into that hour's block, not into a block of its own. */
export const SLACK_MS = 600_000;

/** The mark of a row, made by the database: a text for each row would cost more than all the rest. */
export const MARK = "CASE quality WHEN 'good' THEN 0 WHEN 'uncertain' THEN 1 ELSE 2 END";

export function toEntry({ seq, at_ms: atMs, kind, body }: LogRow): LogEntry {
  try {
    return { kind, seq, atMs, ...(JSON.parse(body) as object) } as LogEntry;
  } catch (error) {
    // One damaged row must not keep the others from being read.
    return { kind: 'quarantine', seq, atMs, what: kind, reason: `its row can’t be read: ${(error as Error).message}`, held: body };
  }
}

export type LoggedRow = Omit<ReadingRow, 'series'> & { readonly owner: string; readonly point: string };

export function toLogged({ owner, point, observed_ms: observedAtMs, received_ms: receivedAtMs, value, quality, reason, late, sequence }: LoggedRow): LoggedReading {
  return { owner, point, observedAtMs, receivedAtMs, value, quality, reason, late: late === 1, sequence };
}
