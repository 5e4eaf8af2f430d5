import { insertRows } from '../../host/insert-rows.ts';
import { migrate, openSqlite, type Sqlite } from '../../host/open-sqlite.ts';
import type { Sql } from '../../host/sql.ts';
import { SqliteSql } from '../../host/sqlite-sql.ts';
import type { Reading } from '../../domain/points/reading.ts';
import type { LogEntry } from '../../domain/site/log.ts';
import { EVALUATOR_VERSION, type SiteSnapshot } from '../../domain/site/site-snapshot.ts';
import type { Shift } from '../../domain/shift/shift.ts';
import type { ToldMove } from '../../domain/shift/summary/alarms.ts';
import { type AlarmDetail, journalRows, toToldMove } from './journal-rows.ts';
import { AuditTrail } from '../audit/audit-trail.ts';
import { deedsOf } from '../audit/deeds-of.ts';
import { NoticeStore } from '../notify/notice-store.ts';
import type { KeptLink } from '../../domain/wire/chain.ts';
import { contiguousThrough, type SequenceRanges } from '../../domain/wire/sequence-ranges.ts';
import { ChainTables } from './chain-tables.ts';
import { BAD, LATE, QUALITY_BITS, type Samples } from './blocks/sample-block.ts';
import { LogReader, type BatchBody, type OnDamage } from './log-reader.ts';
import { PackMarks } from './pack-marks.ts';
import { Packer } from './packer.ts';
import { Proposals } from './proposals.ts';
import { RECORD_MIGRATIONS } from './migrations.ts';
import { Replays } from './replays.ts';
import { RetentionRecord } from './retention.ts';
import { SeriesIds } from './series-ids.ts';
import { SeriesReader } from './series-reader.ts';
import { ShiftStarts } from './shift-starts.ts';
import { ShiftTables } from './shift-tables.ts';
import { SqlitePackTables } from './sqlite-pack-tables.ts';
import type { ActionAnswer, CommitUnit, Cursor, JournalItem, JournalQuery, RecordedRow, Sample, Store } from './store.ts';

/** The record in one SQLite file. Opens and, where needed, migrates it. `onDamage` hears of a block that can't be read; the log is then read without it. */
export function openSqliteStore(file: string, onDamage: OnDamage = refuse): { store: Store; sql: Sql; database: Sqlite } {
  const database = openSqlite(file);
  migrate(database, RECORD_MIGRATIONS);
  return { ...storeOver(database, onDamage), database };
}

/** The record in an open database that is up to date. */
export function storeOver(database: Sqlite, onDamage: OnDamage = refuse): { store: Store; sql: Sql } {
  const sql = new SqliteSql(database);
  return { store: new SqliteStore(database, sql, onDamage), sql };
}

const refuse: OnDamage = (what, error) => {
  throw new Error(`${what}: ${error.message}`);
};

/** The texts of a shift's and its items' bodies, and not the names of their fields. */
const SAYS_WORD = "(EXISTS (SELECT 1 FROM json_tree(shift.body) WHERE atom LIKE ? ESCAPE '\\') OR EXISTS (SELECT 1 FROM shift_item, json_tree(shift_item.body) WHERE shift_item.shift = shift.id AND atom LIKE ? ESCAPE '\\'))";

class SqliteStore implements Store {
  readonly shiftRecord: ShiftTables;
  readonly proposals: Proposals;
  readonly retention: RetentionRecord;
  readonly replays: Replays;
  readonly #starts: ShiftStarts;
  readonly #database: Sqlite;
  readonly #sql: SqliteSql;
  readonly #series: SeriesIds;
  readonly #chains: ChainTables;
  readonly #log: LogReader;
  readonly #reader: SeriesReader;
  readonly #packer: Packer;
  readonly #write: (unit: CommitUnit) => Promise<void>;
  #nextReading: number;

  constructor(database: Sqlite, sql: SqliteSql, onDamage: OnDamage) {
    this.#database = database;
    this.#sql = sql;
    this.#series = new SeriesIds(database);
    this.#chains = new ChainTables(sql);
    const marks = new PackMarks(database);
    this.#log = new LogReader(sql, marks, onDamage);
    this.#reader = new SeriesReader(sql, marks, this.#series);
    this.#packer = new Packer(new SqlitePackTables(sql, marks));
    this.shiftRecord = new ShiftTables(sql, SAYS_WORD);
    this.proposals = new Proposals(sql);
    this.retention = new RetentionRecord(sql);
    this.replays = new Replays(sql);
    this.#starts = new ShiftStarts(sql);
    const newest = database.prepare("SELECT seq FROM sqlite_sequence WHERE name = 'reading'").get() as { seq: number } | undefined;
    this.#nextReading = (newest?.seq ?? 0) + 1;
    this.#write = this.#prepareWrite();
  }

  async commit(unit: CommitUnit): Promise<void> {
    try {
      // Numbers of readings that were given in vain are not given again: the next commit may have begun already.
      await this.#sql.transaction(() => this.#write(unit), () => {
        this.#series.forget();
        this.#chains.forget();
      });
    } catch (error) {
      throw asError(error);
    }
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

  async cursors(site: string): Promise<Cursor[]> {
    const rows = await this.#sql.all<Omit<Cursor, 'ranges'> & { ranges: string }>('SELECT gateway, epoch, ranges, missing FROM cursor WHERE site = ?', site);
    return rows.map(({ ranges, ...rest }) => ({ ...rest, ranges: JSON.parse(ranges) as SequenceRanges }));
  }

  async newestAtMs(): Promise<number> {
    const row = await this.#sql.get<{ newest: number | null }>('SELECT max(at_ms) AS newest FROM (SELECT site, max(seq) AS seq FROM log GROUP BY site) JOIN log USING (site, seq)');
    return row?.newest ?? 0;
  }

  async answer(site: string, key: string): Promise<ActionAnswer | null> {
    const row = await this.#sql.get<{ body: string }>('SELECT body FROM answer WHERE site = ? AND key = ?', site, key);
    return row ? (JSON.parse(row.body) as ActionAnswer) : null;
  }

  async journal(site: string, query: JournalQuery): Promise<JournalItem[]> {
    const conditions = ['site = ?'];
    const values: (string | number)[] = [site];
    const narrow = (condition: string, ...bound: (string | number)[]): void => {
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
    this.#database.close();
    return Promise.resolve();
  }

  #prepareWrite(): (unit: CommitUnit) => Promise<void> {
    const database = this.#database;
    const log = database.prepare('INSERT INTO log (site, seq, at_ms, kind, body) VALUES (?, ?, ?, ?, ?)');
    const readings = insertRows(database, 'INSERT INTO reading (id, series, observed_ms, received_ms, value, quality, reason, late, sequence) VALUES', 9);
    const computed = database.prepare('INSERT OR REPLACE INTO computed (series, at_ms, value, quality, reason, seq) VALUES (?, ?, ?, ?, ?, ?)');
    const journal = database.prepare('INSERT INTO journal (site, seq, n, at_ms, kind, owner, alarm, detail) VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
    const answer = database.prepare('INSERT OR IGNORE INTO answer (site, key, body) VALUES (?, ?, ?)');
    const cursor = database.prepare('INSERT OR REPLACE INTO cursor (site, gateway, epoch, committed, ranges, missing) VALUES (?, ?, ?, ?, ?, ?)');
    const snapshot = database.prepare('INSERT OR REPLACE INTO snapshot (site, seq, body) VALUES (?, ?, ?)');
    const trail = new AuditTrail(this.#sql);
    const notices = new NoticeStore(this.#sql);
    return async (unit) => {
      const { site } = unit;
      for (const { entry, effects } of unit.logged) {
        log.run(site, entry.seq, entry.atMs, entry.kind, this.#bodyOf(entry));
        if (entry.kind === 'batch') {
          const first = this.#nextReading;
          readings(entry.readings.flatMap((r, at) => [first + at, this.#series.need(site, r.owner, r.point), r.observedAtMs, r.receivedAtMs, r.value, r.quality, r.reason, r.late ? 1 : 0, r.sequence]));
          this.#nextReading += entry.readings.length;
        }
        for (const c of effects.computed) computed.run(this.#series.need(site, c.owner, c.point), c.atMs, c.value, c.quality, c.reason, entry.seq);
        for (const row of journalRows(entry, effects)) journal.run(site, entry.seq, row.n, row.atMs, row.kind, row.owner, row.alarm, JSON.stringify(row.detail));
        for (const deed of deedsOf(site, entry, effects)) await trail.add(deed);
        await this.shiftRecord.write(site, effects.shift, effects.items);
        if (entry.kind === 'action' && entry.action.kind === 'start-shift' && effects.shift) await this.#starts.keep(site, effects.shift.id);
        if (entry.kind === 'action' && effects.refusal === null) await this.retention.note(site, entry.atMs, entry.action);
        if (entry.kind === 'action') answer.run(site, entry.action.key, JSON.stringify({ refusal: effects.refusal, shift: effects.shift, item: effects.items[0]?.id ?? null } satisfies ActionAnswer));
      }
      for (const notice of unit.notices ?? []) await notices.add(notice);
      await this.#chains.add(site, unit.links ?? []);
      for (const c of unit.cursors) cursor.run(site, c.gateway, c.epoch, contiguousThrough(c.ranges), JSON.stringify(c.ranges), c.missing);
      if (unit.snapshot) snapshot.run(site, unit.snapshot.seq, JSON.stringify(unit.snapshot));
    };
  }

  #bodyOf(entry: LogEntry): string {
    if (entry.kind === 'batch') return JSON.stringify({ first: this.#nextReading, count: entry.readings.length, origin: entry.origin } satisfies BatchBody);
    const { kind: _kind, seq: _seq, atMs: _atMs, ...body } = entry;
    return JSON.stringify(body);
  }
}

function asError(thrown: unknown): Error {
  return thrown instanceof Error ? thrown : new Error(String(thrown));
}
