import type { Reading } from '../../domain/points/reading.ts';
import type { LogEntry } from '../../domain/site/log.ts';
import { EVALUATOR_VERSION, type SiteSnapshot } from '../../domain/site/site-snapshot.ts';
import type { Shift } from '../../domain/shift/shift.ts';
import type { ToldMove } from '../../domain/shift/summary/alarms.ts';
import type { KeptLink } from '../../domain/wire/chain.ts';
import { contiguousThrough, type SequenceRanges } from '../../domain/wire/sequence-ranges.ts';
import type { Sql, SqlValue } from '../../host/sql.ts';
import { AuditTrail } from '../audit/audit-trail.ts';
import { deedsOf } from '../audit/deeds-of.ts';
import { NoticeStore } from '../notify/notice-store.ts';
import { BAD, LATE, QUALITY_BITS, type Samples } from './blocks/sample-block.ts';
import { ChainTables } from './chain-tables.ts';
import { type AlarmDetail, toToldMove } from './journal-rows.ts';
import { LogReader, type OnDamage } from './log-reader.ts';
import type { PackTables } from './pack-tables.ts';
import { Packer } from './packer.ts';
import type { Leases } from './postgres/leases.ts';
import { Proposals } from './proposals.ts';
import type { ReadTables } from './read-tables.ts';
import { Replays } from './replays.ts';
import { RetentionRecord } from './retention.ts';
import { SeriesReader } from './series-reader.ts';
import { ShiftStarts } from './shift-starts.ts';
import { ShiftTables } from './shift-tables.ts';
import type { ActionAnswer, CommitUnit, Cursor, JournalItem, JournalQuery, RecordedRow, Sample, Store } from './store.ts';

/** What differs from one database to another; everything else is said in the SQL that they share. */
export interface StoreParts {
  readonly sql: Sql;
  readonly reading: ReadTables;
  readonly packing: PackTables;
  /** Null where nobody else writes to this database. */
  readonly leases: Leases | null;
  readonly onDamage: OnDamage;
  /** Asks for the newest time in any log, as `newest`. */
  readonly newest: string;
  /** A condition on a shift with a pattern bound twice: any text of the shift or its items is like it. */
  readonly saysWord: string;
  /**
   * Commits what is many (log, readings, computed values, journal), and with it, in the same transaction, what `rest` writes. `rest` may be
   * called again after a transaction that came to nothing.
   */
  commit(unit: CommitUnit, rest: () => Promise<void>): Promise<void>;
  tidy(nowMs: number): Promise<unknown>;
  close(): Promise<void>;
}

/** The record in a database that speaks SQL. */
export class SqlStore implements Store {
  readonly shiftRecord: ShiftTables;
  readonly proposals: Proposals;
  readonly retention: RetentionRecord;
  readonly replays: Replays;
  readonly leases: Leases | null;
  readonly #parts: StoreParts;
  readonly #sql: Sql;
  readonly #starts: ShiftStarts;
  readonly #chains: ChainTables;
  readonly #log: LogReader;
  readonly #reader: SeriesReader;
  readonly #packer: Packer;
  readonly #trail: AuditTrail;
  readonly #notices: NoticeStore;

  constructor(parts: StoreParts) {
    const { sql, reading, packing, onDamage, saysWord } = parts;
    this.#parts = parts;
    this.leases = parts.leases;
    this.#sql = sql;
    this.#chains = new ChainTables(sql);
    this.#log = new LogReader(reading, onDamage);
    this.#reader = new SeriesReader(reading);
    this.#packer = new Packer(packing);
    this.#trail = new AuditTrail(sql);
    this.#notices = new NoticeStore(sql);
    this.shiftRecord = new ShiftTables(sql, saysWord);
    this.proposals = new Proposals(sql);
    this.retention = new RetentionRecord(sql);
    this.replays = new Replays(sql);
    this.#starts = new ShiftStarts(sql);
  }

  async commit(unit: CommitUnit): Promise<void> {
    try {
      await this.#parts.commit(unit, () => this.#writeRest(unit));
    } catch (error) {
      this.forget();
      throw error instanceof Error ? error : new Error(String(error));
    }
  }

  /** A transaction came to nothing: what was known of it is not so. */
  forget(): void {
    this.#chains.forget();
  }

  /** What goes into few rows: deeds, shifts, answers, notices, chains, cursors, the saved state. */
  async #writeRest({ site, logged, notices, links, cursors, snapshot }: CommitUnit): Promise<void> {
    for (const { entry, effects } of logged) {
      for (const deed of deedsOf(site, entry, effects)) await this.#trail.add(deed);
      if (effects.shift || effects.items.length > 0) await this.shiftRecord.write(site, effects.shift, effects.items);
      if (entry.kind !== 'action') continue;
      if (entry.action.kind === 'start-shift' && effects.shift) await this.#starts.keep(site, effects.shift.id);
      if (effects.refusal === null) await this.retention.note(site, entry.atMs, entry.action);
      const answer = { refusal: effects.refusal, shift: effects.shift, item: effects.items[0]?.id ?? null } satisfies ActionAnswer;
      await this.#sql.run('INSERT INTO answer (site, key, body) VALUES (?, ?, ?) ON CONFLICT DO NOTHING', site, entry.action.key, JSON.stringify(answer));
    }
    for (const notice of notices ?? []) await this.#notices.add(notice);
    await this.#chains.add(site, links ?? []);
    for (const { gateway, epoch, ranges, missing } of cursors) {
      await this.#sql.run(
        `INSERT INTO cursor (site, gateway, epoch, committed, ranges, missing) VALUES (?, ?, ?, ?, ?, ?)
         ON CONFLICT (site, gateway, epoch) DO UPDATE SET committed = excluded.committed, ranges = excluded.ranges, missing = excluded.missing`,
        site, gateway, epoch, contiguousThrough(ranges), JSON.stringify(ranges), missing,
      );
    }
    // An older state never takes the place of a newer one.
    if (snapshot) await this.#sql.run('INSERT INTO snapshot (site, seq, body) VALUES (?, ?, ?) ON CONFLICT (site) DO UPDATE SET seq = excluded.seq, body = excluded.body WHERE snapshot.seq <= excluded.seq', site, snapshot.seq, JSON.stringify(snapshot));
  }

  underLease<T>(site: string, act: () => Promise<T>): Promise<T> {
    return this.#sql.transaction(async () => {
      await this.leases?.check(site);
      return act();
    });
  }

  async readSnapshot(site: string): Promise<SiteSnapshot | null> {
    const row = await this.#sql.get<{ body: string }>('SELECT body FROM snapshot WHERE site = ?', site);
    if (!row) return null;
    const snapshot = JSON.parse(row.body) as SiteSnapshot;
    return snapshot.version === EVALUATOR_VERSION ? snapshot : null;
  }

  readLog(site: string, afterSeq: number, throughSeq?: number): AsyncGenerator<LogEntry> {
    return this.#log.read(site, afterSeq, throughSeq);
  }

  packNext(site: string, signal?: AbortSignal): Promise<boolean> {
    return this.#packer.packNext(site, signal);
  }

  async tidy(nowMs: number): Promise<void> {
    await this.#parts.tidy(nowMs);
  }

  async cursors(site: string): Promise<Cursor[]> {
    const rows = await this.#sql.all<Omit<Cursor, 'ranges'> & { ranges: string }>('SELECT gateway, epoch, ranges, missing FROM cursor WHERE site = ?', site);
    return rows.map(({ ranges, ...rest }) => ({ ...rest, ranges: JSON.parse(ranges) as SequenceRanges }));
  }

  async newestAtMs(): Promise<number> {
    const row = await this.#sql.get<{ newest: number | null }>(this.#parts.newest);
    return row?.newest ?? 0;
  }

  async answer(site: string, key: string): Promise<ActionAnswer | null> {
    const row = await this.#sql.get<{ body: string }>('SELECT body FROM answer WHERE site = ? AND key = ?', site, key);
    return row ? (JSON.parse(row.body) as ActionAnswer) : null;
  }

  async journal(site: string, query: JournalQuery): Promise<JournalItem[]> {
    const conditions = ['site = ?'];
    const values: SqlValue[] = [site];
    const narrow = (condition: string, ...bound: SqlValue[]): void => {
      conditions.push(condition);
      values.push(...bound);
    };
    if (query.owner !== undefined) narrow('owner = ?', query.owner);
    if (query.alarm !== undefined) narrow('alarm = ?', query.alarm);
    if (query.fromMs !== undefined) narrow('at_ms >= ?', query.fromMs);
    if (query.toMs !== undefined) narrow('at_ms <= ?', query.toMs);
    if (query.before) narrow('(seq, n) < (?, ?)', query.before.seq, query.before.n);
    const rows = await this.#sql.all<Omit<JournalItem, 'atMs' | 'detail'> & { at_ms: number; detail: string }>(
      `SELECT site, seq, n, at_ms, kind, owner, detail FROM journal WHERE ${conditions.join(' AND ')} ORDER BY seq DESC, n DESC LIMIT ?`,
      ...values, query.limit,
    );
    return rows.map(({ at_ms: atMs, detail, ...rest }) => ({ ...rest, atMs, detail: JSON.parse(detail) as JournalItem['detail'] }));
  }

  async alarmMoves(site: string, fromMs: number, toMs: number): Promise<ToldMove[]> {
    const rows = await this.#sql.all<{ at_ms: number; owner: string; detail: string }>("SELECT at_ms, owner, detail FROM journal WHERE site = ? AND kind = 'alarm' AND at_ms >= ? AND at_ms < ? ORDER BY seq, n", site, fromMs, toMs);
    return rows.map(({ at_ms: atMs, owner, detail }) => toToldMove(atMs, owner, JSON.parse(detail) as AlarmDetail));
  }

  shift(id: string): Promise<{ site: string; shift: Shift } | null> {
    return this.shiftRecord.find(id);
  }

  shiftStart(site: string, shift: string, startedAtMs: number): Promise<SiteSnapshot> {
    return this.#starts.before(site, shift, startedAtMs);
  }

  pieces(site: string, owner: string, point: string, fromMs: number, toMs: number): AsyncGenerator<Samples> {
    return this.#reader.read(site, owner, point, fromMs, toMs);
  }

  async *samples(site: string, owner: string, point: string, fromMs: number, toMs: number): AsyncGenerator<Sample> {
    for await (const { atMs, value, mark } of this.pieces(site, owner, point, fromMs, toMs)) {
      for (let i = 0; i < atMs.length; i += 1) {
        const one = value[i] ?? Number.NaN;
        const bits = mark[i] ?? 0;
        yield { atMs: atMs[i] ?? 0, value: (bits & QUALITY_BITS) === BAD || Number.isNaN(one) ? null : one, late: (bits & LATE) !== 0 };
      }
    }
  }

  recordedPoints(site: string): Promise<{ owner: string; point: string }[]> {
    return this.#sql.all<{ owner: string; point: string }>('SELECT owner, point FROM series WHERE site = ? ORDER BY owner, point', site);
  }

  rows(site: string, owner: string, point: string, fromMs: number, toMs: number): AsyncIterable<RecordedRow> {
    return this.#reader.rows(site, owner, point, fromMs, toMs);
  }

  readings(site: string, owner: string, point: string, fromMs: number, toMs: number): Promise<Reading[]> {
    return this.#reader.readings(site, owner, point, fromMs, toMs);
  }

  chainLinks(site: string, owner: string, fromMs: number, toMs: number): Promise<KeptLink[]> {
    return this.#chains.links(site, owner, fromMs, toMs);
  }

  close(): Promise<void> {
    return this.#parts.close();
  }
}
