import { randomUUID } from 'node:crypto';
import type { Reading } from '../../domain/points/reading.ts';
import type { ChainLink } from '../../domain/wire/chain.ts';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { insertRows } from '../../host/insert-rows.ts';
import { inTransaction, migrate, openSqlite, type Sqlite, type SqliteStatement } from '../../host/open-sqlite.ts';
import { SEEN_READINGS } from '../seen-readings.ts';

const MIGRATIONS = [
  `CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
   CREATE TABLE reading (
     sequence INTEGER PRIMARY KEY AUTOINCREMENT, owner TEXT NOT NULL, point TEXT NOT NULL, observed_ms INTEGER NOT NULL,
     received_ms INTEGER NOT NULL, value REAL, quality TEXT NOT NULL, reason TEXT, backlog INTEGER NOT NULL)`,
  'CREATE TABLE uplink (name TEXT PRIMARY KEY, through INTEGER NOT NULL) WITHOUT ROWID',
  `CREATE TABLE link (through INTEGER PRIMARY KEY, received_ms INTEGER NOT NULL, owner TEXT NOT NULL, hash TEXT NOT NULL);
   CREATE TABLE head (owner TEXT PRIMARY KEY, hash TEXT NOT NULL) WITHOUT ROWID`,
  `CREATE TABLE seen (
     sequence INTEGER PRIMARY KEY, owner TEXT NOT NULL, point TEXT NOT NULL, observed_ms INTEGER NOT NULL, received_ms INTEGER NOT NULL,
     value REAL, quality TEXT NOT NULL, reason TEXT)`,
  // One row a commit: a row a reading cost as much as the reading itself.
  `ALTER TABLE seen RENAME TO seen_singly;
   CREATE TABLE seen (through INTEGER PRIMARY KEY, readings TEXT NOT NULL);
   INSERT INTO seen SELECT sequence, json_array(json_object('owner', owner, 'point', point, 'observedAtMs', observed_ms, 'receivedAtMs', received_ms, 'value', value, 'quality', quality, 'reason', reason)) FROM seen_singly;
   DROP TABLE seen_singly`,
  `CREATE TABLE set_aside (
     id INTEGER PRIMARY KEY AUTOINCREMENT, uplink TEXT NOT NULL, sequence INTEGER NOT NULL, at_ms INTEGER NOT NULL, reason TEXT NOT NULL,
     reading TEXT NOT NULL, UNIQUE (uplink, sequence, reading))`,
];

type Row = Omit<SequencedReading, 'backlog' | 'observedAtMs' | 'receivedAtMs'> & { readonly backlog: number; readonly observed_ms: number; readonly received_ms: number };

/** One group commit: readings in order, the links that end with them, what may go and how far uplinks are that are ahead of the others. */
export interface OutboxGroup {
  /** In order, without a gap. */
  readonly readings: readonly SequencedReading[];
  readonly links: readonly ChainLink[];
  /** Everything up to here is deleted; null where nothing is. */
  readonly release: number | null;
  readonly uplinks: readonly (readonly [name: string, through: number])[];
}

/** For who only looks: beside a gateway that runs, too. */
export function openOutboxDatabase(file: string): OutboxDatabase {
  return new OutboxDatabase(openSqlite(file));
}

/** The outbox's tables and the questions to them. */
export class OutboxDatabase {
  readonly sqlite: Sqlite;
  readonly #readings: SqliteStatement;
  readonly #links: SqliteStatement;
  readonly commit: (group: OutboxGroup) => void;

  constructor(sqlite: Sqlite) {
    this.sqlite = sqlite;
    migrate(sqlite, MIGRATIONS);
    this.#readings = sqlite.prepare('SELECT sequence, owner, point, observed_ms, received_ms, value, quality, reason, backlog FROM reading WHERE sequence > ? AND sequence <= ? ORDER BY sequence LIMIT ?');
    this.#links = sqlite.prepare('SELECT owner, through, received_ms AS receivedAtMs, hash FROM link WHERE through > ? AND through <= ? ORDER BY through');
    const insert = insertRows(sqlite, 'INSERT INTO reading (sequence, owner, point, observed_ms, received_ms, value, quality, reason, backlog) VALUES', 9);
    const removeReadings = sqlite.prepare('DELETE FROM reading WHERE sequence <= ?');
    const removeLinks = sqlite.prepare('DELETE FROM link WHERE through <= ?');
    const link = insertRows(sqlite, 'INSERT INTO link (through, received_ms, owner, hash) VALUES', 4);
    const head = insertRows(sqlite, 'INSERT OR REPLACE INTO head (owner, hash) VALUES', 2);
    const uplink = sqlite.prepare('INSERT OR REPLACE INTO uplink (name, through) VALUES (?, ?)');
    const see = sqlite.prepare('INSERT INTO seen (through, readings) VALUES (?, ?)');
    const forget = sqlite.prepare('DELETE FROM seen WHERE through <= ?');
    this.commit = inTransaction(sqlite, ({ readings, links, release, uplinks }: OutboxGroup) => {
      if (release !== null) {
        removeReadings.run(release);
        removeLinks.run(release);
      }
      for (const [name, through] of uplinks) uplink.run(name, through);
      insert(readings.flatMap((r) => [r.sequence, r.owner, r.point, r.observedAtMs, r.receivedAtMs, r.value, r.quality, r.reason, r.backlog ? 1 : 0]));
      const newest = readings.at(-1)?.sequence ?? 0;
      const repeatable = readings.filter(({ observedAtMs, receivedAtMs, value }) => observedAtMs !== receivedAtMs || value === null);
      if (repeatable.length > 0) see.run(newest, JSON.stringify(repeatable));
      // Known again after a restart, though they have gone to the servers long since.
      if (newest > SEEN_READINGS) forget.run(newest - SEEN_READINGS);
      link(links.flatMap(({ owner, through, receivedAtMs, hash }) => [through, receivedAtMs, owner, hash]));
      head(links.flatMap(({ owner, hash }) => [owner, hash]));
    });
  }

  read(after: number, limit: number, through: number): SequencedReading[] {
    const rows = this.#readings.all(after, through, limit) as Row[];
    // Written out: spreading the rest costs more than the query.
    return rows.map((row) => ({
      sequence: row.sequence,
      owner: row.owner,
      point: row.point,
      observedAtMs: row.observed_ms,
      receivedAtMs: row.received_ms,
      value: row.value,
      quality: row.quality,
      reason: row.reason,
      backlog: row.backlog === 1,
    }));
  }

  /** What was put in lately and may come once more, oldest first. */
  seen(): Reading[] {
    const rows = this.sqlite.prepare('SELECT readings FROM seen ORDER BY through').all() as { readings: string }[];
    return rows.flatMap(({ readings }) => JSON.parse(readings) as Reading[]);
  }

  links(after: number, through: number): ChainLink[] {
    return this.#links.all(after, through) as ChainLink[];
  }

  heads(): Map<string, string> {
    const rows = this.sqlite.prepare('SELECT owner, hash FROM head').all() as { owner: string; hash: string }[];
    return new Map(rows.map(({ owner, hash }) => [owner, hash]));
  }

  /** The newest sequence ever given. */
  last(): number {
    const row = this.sqlite.prepare("SELECT seq FROM sqlite_sequence WHERE name = 'reading'").get() as { seq: number } | undefined;
    return row?.seq ?? 0;
  }

  /** The oldest that is there; null in an empty outbox. */
  first(): number | null {
    return (this.sqlite.prepare('SELECT min(sequence) AS first FROM reading').get() as { first: number | null }).first;
  }

  /** Times of receipt grow with the sequence, so halving finds it without reading a backlog of millions. */
  firstSince(receivedAtMs: number): number | null {
    const next = this.sqlite.prepare('SELECT sequence, received_ms FROM reading WHERE sequence >= ? ORDER BY sequence LIMIT 1');
    const last = this.last();
    let low = this.first() ?? last + 1;
    let high = last + 1;
    while (low < high) {
      const middle = Math.floor((low + high) / 2);
      const row = next.get(middle) as { sequence: number; received_ms: number } | undefined;
      if (!row || row.received_ms >= receivedAtMs) high = middle;
      else low = row.sequence + 1;
    }
    return low > last ? null : low;
  }

  newestAtMs(): number {
    const row = this.sqlite.prepare('SELECT received_ms FROM reading ORDER BY sequence DESC LIMIT 1').get() as { received_ms: number } | undefined;
    return row?.received_ms ?? 0;
  }

  /** A random name that is made once and stays: of the gateway, of this outbox's epoch. */
  identity(key: string): string {
    const known = this.meta(key);
    if (known !== null) return known;
    const made = randomUUID();
    this.setMeta(key, made);
    return made;
  }

  /** A new epoch; its chains begin anew, so the links of the old one go. */
  renewEpoch(): string {
    const epoch = randomUUID();
    inTransaction(this.sqlite, () => {
      this.setMeta('epoch', epoch);
      this.sqlite.prepare('DELETE FROM link').run();
      this.sqlite.prepare('DELETE FROM head').run();
    })();
    return epoch;
  }

  meta(key: string): string | null {
    const found = this.sqlite.prepare('SELECT value FROM meta WHERE key = ?').get(key) as { value: string } | undefined;
    return found?.value ?? null;
  }

  setMeta(key: string, value: string): void {
    this.sqlite.prepare('INSERT OR REPLACE INTO meta (key, value) VALUES (?, ?)').run(key, value);
  }

  /** Share of the bounded size that is in use, 0 to 1. */
  filled(): number {
    const pragma = (name: string): number => Object.values(this.sqlite.prepare(`PRAGMA ${name}`).get() as Record<string, number>)[0] ?? 0;
    return (pragma('page_count') - pragma('freelist_count')) / pragma('max_page_count');
  }

  /** @throws Error where the file is damaged */
  verify(): void {
    const { quick_check: said } = this.sqlite.prepare('PRAGMA quick_check(1)').get() as { quick_check: string };
    if (said !== 'ok') throw new Error(`the outbox is damaged: ${said}`);
  }

  /** Takes out what a failed commit may have left after all: its senders were told no, and send again. */
  cutAfter(sequence: number, heads: ReadonlyMap<string, string>): void {
    inTransaction(this.sqlite, () => {
      this.sqlite.prepare('DELETE FROM reading WHERE sequence > ?').run(sequence);
      this.sqlite.prepare('DELETE FROM link WHERE through > ?').run(sequence);
      this.sqlite.prepare('DELETE FROM seen WHERE through > ?').run(sequence);
      this.sqlite.prepare("UPDATE sqlite_sequence SET seq = ? WHERE name = 'reading'").run(sequence);
      this.sqlite.prepare('DELETE FROM head').run();
      for (const [owner, hash] of heads) this.sqlite.prepare('INSERT INTO head (owner, hash) VALUES (?, ?)').run(owner, hash);
    })();
  }
}
