import type { ToldMove } from '../../domain/shift/summary/alarms.ts';
import type { Quality, QualityReason, Reading } from '../../domain/points/reading.ts';
import type { Notice } from '../notify/notice.ts';
import type { LogEntry } from '../../domain/site/log.ts';
import type { Effects } from '../../domain/site/site-effects.ts';
import type { SiteSnapshot } from '../../domain/site/site-snapshot.ts';
import type { KeptLink } from '../../domain/wire/chain.ts';
import type { SequenceRanges } from '../../domain/wire/sequence-ranges.ts';
import type { Samples } from './blocks/sample-block.ts';
import type { Shift } from '../../domain/shift/shift.ts';
import type { Leases } from './postgres/leases.ts';
import type { Proposals } from './proposals.ts';
import type { Replays } from './replays.ts';
import type { RetentionRecord } from './retention.ts';
import type { ShiftRecord } from './shift-record.ts';

/** One entry of a site's log with what it brought about. */
export interface LoggedEffects {
  readonly entry: LogEntry;
  readonly effects: Effects;
}

/** All of one commit: either everything in it is on the disk, or nothing. */
export interface CommitUnit {
  readonly site: string;
  readonly logged: readonly LoggedEffects[];
  /** Alarms that people are to be told of; none where left out. */
  readonly notices?: readonly Notice[];
  /** What is now committed of each gateway's readings; only those that moved. */
  readonly cursors: readonly Cursor[];
  /** Links of the gateways' chains that came with the readings. */
  readonly links?: readonly KeptLink[];
  /** Of the lease under which this is written; left out where a site has one server only. */
  readonly epoch?: number | undefined;
  /** Taken after the last entry; null where the last one on disk is fresh enough. */
  readonly snapshot: SiteSnapshot | null;
}

export interface Cursor {
  readonly gateway: string;
  readonly epoch: string;
  readonly ranges: SequenceRanges;
  /** Readings in the ranges that the gateway no longer had: thinned, or given up for this server. */
  readonly missing: number;
}

/** What became of an action, kept by its idempotency key. */
export interface ActionAnswer {
  readonly refusal: string | null;
  readonly shift: Shift | null;
  /** Id of what it added to a shift; missing in answers of the first version. */
  readonly item?: string | null;
}

/** `unheard`: the program did not run, or not with this site; `found-later`: an excursion in late readings; `quarantine`: something that could not be evaluated or stored as what it is. */
export const JOURNAL_KINDS = ['alarm', 'action', 'config', 'clock', 'unheard', 'found-later', 'quarantine'] as const;
type JournalKind = (typeof JOURNAL_KINDS)[number];

export interface JournalItem {
  readonly site: string;
  readonly seq: number;
  readonly n: number;
  readonly atMs: number;
  readonly kind: JournalKind;
  /** The rig, compressor or site it is about. */
  readonly owner: string | null;
  readonly detail: Readonly<Record<string, unknown>>;
}

export interface JournalQuery {
  readonly owner?: string | undefined;
  readonly alarm?: string | undefined;
  readonly limit: number;
  /** Only what happened in this stretch, both ends in it. */
  readonly fromMs?: number | undefined;
  readonly toMs?: number | undefined;
  /** Only what comes before this position. */
  readonly before?: { readonly seq: number; readonly n: number } | undefined;
}

/** One recorded value, for traces. */
export interface Sample {
  readonly atMs: number;
  /** Null where the value was not good enough to be drawn. */
  readonly value: number | null;
  readonly late: boolean;
}

/** One row of the record as it was evaluated. */
export interface RecordedRow {
  readonly atMs: number;
  /** Null for a computed value. */
  readonly receivedAtMs: number | null;
  readonly value: number | null;
  readonly quality: Quality;
  readonly reason: QualityReason | null;
  readonly late: boolean;
  /** Its place in the gateway's order; null for a computed value. */
  readonly sequence: number | null;
}

/** The record. Writing is one unit at a time; the site's writer is its only caller. */
export interface Store {
  readonly shiftRecord: ShiftRecord;
  readonly proposals: Proposals;
  readonly retention: RetentionRecord;
  readonly replays: Replays;
  /** Who has which site, where several servers can share the record; null where it is one process's file. */
  readonly leases: Leases | null;
  /** The state shortly before a shift, from which it can be folded again. */
  shiftStart(site: string, shift: string, startedAtMs: number): Promise<SiteSnapshot>;
  commit(unit: CommitUnit): Promise<void>;
  /** What else is written for a site: in one transaction, and only while the site is ours. @throws LeaseLost */
  underLease<T>(site: string, act: () => Promise<T>): Promise<T>;
  readSnapshot(site: string): Promise<SiteSnapshot | null>;
  /** Entries after a position and up to another, in order; packed or not, they are the very same. */
  readLog(site: string, afterSeq: number, throughSeq?: number): AsyncIterable<LogEntry>;
  /** Packs the oldest hour of a site's log that is over, beside the writer; false where there is none. One call at a time. @throws AbortError when told to stop */
  packNext(site: string, signal?: AbortSignal): Promise<boolean>;
  /** Gives up whatever room of the database packing and erasing have emptied; where nothing is to be done, it costs nothing. */
  tidy(nowMs: number): Promise<void>;
  cursors(site: string): Promise<readonly Cursor[]>;
  /** The newest time in any log; 0 in an empty record. */
  newestAtMs(): Promise<number>;
  answer(site: string, key: string): Promise<ActionAnswer | null>;
  journal(site: string, query: JournalQuery): Promise<JournalItem[]>;
  /** Moves of alarms from `fromMs` on and before `toMs`, in order. */
  alarmMoves(site: string, fromMs: number, toMs: number): Promise<ToldMove[]>;
  shift(id: string): Promise<{ readonly site: string; readonly shift: Shift } | null>;
  /** Readings of one measured point as they were judged, by their own time, oldest first. */
  readings(site: string, owner: string, point: string, fromMs: number, toMs: number): Promise<readonly Reading[]>;
  /** Readings or computed values of one point, by their own time, oldest first. */
  samples(site: string, owner: string, point: string, fromMs: number, toMs: number): AsyncIterable<Sample>;
  /** All points of which the record has something, by owner. */
  recordedPoints(site: string): Promise<{ readonly owner: string; readonly point: string }[]>;
  /** As `samples`, with all that was recorded of each: for exports. */
  rows(site: string, owner: string, point: string, fromMs: number, toMs: number): AsyncIterable<RecordedRow>;
  /** The same in pieces of columns: for what reads very many. */
  pieces(site: string, owner: string, point: string, fromMs: number, toMs: number): AsyncIterable<Samples>;
  /**
   * Links of an owner's chains over what a gateway received from `fromMs` to `toMs`, by gateway, epoch and sequence; with each chain's
   * last link before and its first one after, so that every reading between has the hash before it and the link that covers it.
   */
  chainLinks(site: string, owner: string, fromMs: number, toMs: number): Promise<KeptLink[]>;
  close(): Promise<void>;
}
