import { migrate, openSqlite, type Sqlite } from '../../host/open-sqlite.ts';
import { findPointKind } from '../../domain/points/catalogue.ts';
import type { Reading } from '../../domain/points/reading.ts';
import type { LogEntry, LoggedReading } from '../../domain/site/log.ts';
import { EVALUATOR_VERSION, type SiteSnapshot } from '../../domain/site/site-snapshot.ts';
import type { Shift } from '../../domain/shift/shift.ts';
import type { ToldMove } from '../../domain/shift/summary/alarms.ts';
import { type AlarmDetail, journalRows, toToldMove } from './journal-rows.ts';
import { AuditTrail } from '../audit/audit-trail.ts';
import { deedsOf } from '../audit/deeds-of.ts';
import { RECORD_MIGRATIONS } from './migrations.ts';
import { readRows } from './read-rows.ts';
import { SeriesIds } from './series-ids.ts';
import { ShiftTables } from './shift-tables.ts';
import type { ActionAnswer, CommitUnit, Cursor, JournalItem, JournalQuery, RecordedRow, Sample, Store } from './store.ts';

interface ReadingRow {
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

/** A batch's place among the readings, instead of the readings a second time. */
interface BatchBody {
  readonly first: number;
  readonly count: number;
  /** Missing in entries of the first version. */
  readonly origin?: string;
}

/** The record in one SQLite file. Opens and, where needed, migrates it. */
export function openSqliteStore(file: string): { store: Store; database: Sqlite } {
  const database = openSqlite(file);
  migrate(database, RECORD_MIGRATIONS);
  return { store: new SqliteStore(database), database };
}

class SqliteStore implements Store {
  readonly shiftRecord: ShiftTables;
  readonly #database: Sqlite;
  readonly #series: SeriesIds;
  readonly #write: (unit: CommitUnit) => void;
  #nextReading: number;

  constructor(database: Sqlite) {
    this.#database = database;
    this.#series = new SeriesIds(database);
    this.shiftRecord = new ShiftTables(database);
    const newest = database.prepare("SELECT seq FROM sqlite_sequence WHERE name = 'reading'").get() as { seq: number } | undefined;
    this.#nextReading = (newest?.seq ?? 0) + 1;
    this.#write = this.#prepareWrite();
  }

  commit(unit: CommitUnit): Promise<void> {
    const first = this.#nextReading;
    try {
      this.#write(unit);
      return Promise.resolve();
    } catch (error) {
      this.#nextReading = first;
      this.#series.forget();
      return Promise.reject(asError(error));
    }
  }

  readSnapshot(site: string): SiteSnapshot | null {
    const row = this.#database.prepare('SELECT body FROM snapshot WHERE site = ?').get(site) as { body: string } | undefined;
    if (!row) return null;
    const snapshot = JSON.parse(row.body) as SiteSnapshot;
    return snapshot.version === EVALUATOR_VERSION ? snapshot : null;
  }

  *readLog(site: string, afterSeq: number): Generator<LogEntry> {
    const page = this.#database.prepare('SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq > ? ORDER BY seq LIMIT 500');
    for (let after = afterSeq; ; ) {
      const rows = page.all(site, after) as { seq: number; at_ms: number; kind: LogEntry['kind']; body: string }[];
      for (const { seq, at_ms: atMs, kind, body } of rows) {
        yield this.#readEntry(seq, atMs, kind, body);
        after = seq;
      }
      if (rows.length === 0) return;
    }
  }

  cursors(site: string): Cursor[] {
    return this.#database.prepare('SELECT gateway, epoch, committed FROM cursor WHERE site = ?').all(site) as Cursor[];
  }

  newestAtMs(): number {
    const row = this.#database.prepare('SELECT max(at_ms) AS newest FROM (SELECT site, max(seq) AS seq FROM log GROUP BY site) JOIN log USING (site, seq)').get() as { newest: number | null };
    return row.newest ?? 0;
  }

  answer(site: string, key: string): ActionAnswer | null {
    const row = this.#database.prepare('SELECT body FROM answer WHERE site = ? AND key = ?').get(site, key) as { body: string } | undefined;
    return row ? (JSON.parse(row.body) as ActionAnswer) : null;
  }

  journal(site: string, query: JournalQuery): JournalItem[] {
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
    const rows = this.#database
      .prepare(`SELECT site, seq, n, at_ms, kind, owner, detail FROM journal WHERE ${conditions.join(' AND ')} ORDER BY seq DESC, n DESC LIMIT ?`)
      .all(...values, query.limit) as (Omit<JournalItem, 'atMs' | 'detail'> & { at_ms: number; detail: string })[];
    return rows.map(({ at_ms: atMs, detail, ...rest }) => ({ ...rest, atMs, detail: JSON.parse(detail) as JournalItem['detail'] }));
  }

  alarmMoves(site: string, fromMs: number, toMs: number): ToldMove[] {
    const rows = this.#database
      .prepare("SELECT at_ms, owner, detail FROM journal WHERE site = ? AND kind = 'alarm' AND at_ms >= ? AND at_ms < ? ORDER BY seq, n")
      .all(site, fromMs, toMs) as { at_ms: number; owner: string; detail: string }[];
    return rows.map(({ at_ms: atMs, owner, detail }) => toToldMove(atMs, owner, JSON.parse(detail) as AlarmDetail));
  }

  shift(id: string): { site: string; shift: Shift } | null {
    return this.shiftRecord.find(id);
  }

  *samples(site: string, owner: string, point: string, fromMs: number, toMs: number): Generator<Sample> {
    const series = this.#series.find(site, owner, point);
    if (series === undefined) return;
    const isComputed = findPointKind(point)?.origin === 'computed';
    const rows = isComputed
      ? this.#database.prepare('SELECT at_ms, value, quality, 0 FROM computed WHERE series = ? AND at_ms >= ? AND at_ms <= ? ORDER BY at_ms')
      : this.#database.prepare('SELECT observed_ms, value, quality, late FROM reading WHERE series = ? AND observed_ms >= ? AND observed_ms <= ? ORDER BY observed_ms, id');
    for (const [atMs, value, quality, late] of rows.raw().all(series, fromMs, toMs) as [number, number | null, string, number][]) {
      yield { atMs, value: quality === 'bad' ? null : value, late: late === 1 };
    }
  }

  recordedPoints(site: string): { owner: string; point: string }[] {
    return this.#database.prepare('SELECT owner, point FROM series WHERE site = ? ORDER BY owner, point').all(site) as { owner: string; point: string }[];
  }

  *rows(site: string, owner: string, point: string, fromMs: number, toMs: number): Generator<RecordedRow> {
    const series = this.#series.find(site, owner, point);
    if (series !== undefined) yield* readRows(this.#database, series, point, fromMs, toMs);
  }

  readings(site: string, owner: string, point: string, fromMs: number, toMs: number): Reading[] {
    const series = this.#series.find(site, owner, point);
    if (series === undefined) return [];
    const rows = this.#database
      .prepare('SELECT observed_ms, received_ms, value, quality, reason FROM reading WHERE series = ? AND observed_ms >= ? AND observed_ms < ? ORDER BY observed_ms, id')
      .all(series, fromMs, toMs) as Omit<ReadingRow, 'owner' | 'point' | 'late' | 'sequence'>[];
    return rows.map(({ observed_ms: observedAtMs, received_ms: receivedAtMs, ...rest }) => ({ owner, point, observedAtMs, receivedAtMs, ...rest }));
  }

  close(): void {
    this.#database.close();
  }

  #readEntry(seq: number, atMs: number, kind: LogEntry['kind'], body: string): LogEntry {
    let held: object;
    try {
      held = JSON.parse(body) as object;
    } catch (error) {
      // One damaged row must not keep the others from being read.
      return { kind: 'quarantine', seq, atMs, what: kind, reason: `its row can’t be read: ${asError(error).message}`, held: body };
    }
    return kind === 'batch' ? this.#readBatch(seq, atMs, held as BatchBody) : ({ kind, seq, atMs, ...held } as LogEntry);
  }

  #readBatch(seq: number, atMs: number, body: BatchBody): LogEntry {
    const rows = this.#database
      .prepare('SELECT owner, point, observed_ms, received_ms, value, quality, reason, late, sequence FROM reading JOIN series ON series.id = reading.series WHERE reading.id >= ? AND reading.id < ? ORDER BY reading.id')
      .all(body.first, body.first + body.count) as ReadingRow[];
    const readings = rows.map(({ observed_ms: observedAtMs, received_ms: receivedAtMs, late, ...rest }): LoggedReading => ({ ...rest, observedAtMs, receivedAtMs, late: late === 1 }));
    return { kind: 'batch', seq, atMs, origin: body.origin ?? '', readings };
  }

  #prepareWrite(): (unit: CommitUnit) => void {
    const database = this.#database;
    const log = database.prepare('INSERT INTO log (site, seq, at_ms, kind, body) VALUES (?, ?, ?, ?, ?)');
    const reading = database.prepare('INSERT INTO reading (id, series, observed_ms, received_ms, value, quality, reason, late, sequence) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)');
    const computed = database.prepare('INSERT OR REPLACE INTO computed (series, at_ms, value, quality, reason) VALUES (?, ?, ?, ?, ?)');
    const journal = database.prepare('INSERT INTO journal (site, seq, n, at_ms, kind, owner, alarm, detail) VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
    const answer = database.prepare('INSERT OR IGNORE INTO answer (site, key, body) VALUES (?, ?, ?)');
    const cursor = database.prepare('INSERT INTO cursor (site, gateway, epoch, committed) VALUES (?, ?, ?, ?) ON CONFLICT (site, gateway, epoch) DO UPDATE SET committed = excluded.committed');
    const snapshot = database.prepare('INSERT OR REPLACE INTO snapshot (site, seq, body) VALUES (?, ?, ?)');
    const trail = new AuditTrail(database);
    return database.transaction((unit: CommitUnit) => {
      const { site } = unit;
      for (const { entry, effects } of unit.logged) {
        log.run(site, entry.seq, entry.atMs, entry.kind, this.#bodyOf(entry));
        if (entry.kind === 'batch') {
          for (const r of entry.readings) {
            reading.run(this.#nextReading, this.#series.need(site, r.owner, r.point), r.observedAtMs, r.receivedAtMs, r.value, r.quality, r.reason, r.late ? 1 : 0, r.sequence);
            this.#nextReading += 1;
          }
        }
        for (const c of effects.computed) computed.run(this.#series.need(site, c.owner, c.point), c.atMs, c.value, c.quality, c.reason);
        for (const row of journalRows(entry, effects)) journal.run(site, entry.seq, row.n, row.atMs, row.kind, row.owner, row.alarm, JSON.stringify(row.detail));
        for (const deed of deedsOf(site, entry, effects)) trail.add(deed);
        this.shiftRecord.write(site, effects.shift, effects.items);
        if (entry.kind === 'action') answer.run(site, entry.action.key, JSON.stringify({ refusal: effects.refusal, shift: effects.shift, item: effects.items[0]?.id ?? null } satisfies ActionAnswer));
      }
      for (const c of unit.cursors) cursor.run(site, c.gateway, c.epoch, c.committed);
      if (unit.snapshot) snapshot.run(site, unit.snapshot.seq, JSON.stringify(unit.snapshot));
    });
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
