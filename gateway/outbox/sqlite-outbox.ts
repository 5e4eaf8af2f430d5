import { randomUUID } from 'node:crypto';
import { migrate, openSqlite, type Sqlite } from '../../host/open-sqlite.ts';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import type { NewReading, Outbox } from './outbox.ts';
import { ReleasePoints } from './release-points.ts';

const MIGRATIONS = [
  `CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
   CREATE TABLE reading (
     sequence INTEGER PRIMARY KEY AUTOINCREMENT, owner TEXT NOT NULL, point TEXT NOT NULL, observed_ms INTEGER NOT NULL,
     received_ms INTEGER NOT NULL, value REAL, quality TEXT NOT NULL, reason TEXT, backlog INTEGER NOT NULL)`,
  'CREATE TABLE uplink (name TEXT PRIMARY KEY, through INTEGER NOT NULL) WITHOUT ROWID',
];

/** Half a gigabyte holds more than a week of a four-rig site. */
const MAX_BYTES = 512 * 1024 * 1024;

type Row = Omit<SequencedReading, 'backlog' | 'observedAtMs' | 'receivedAtMs'> & { readonly backlog: number; readonly observed_ms: number; readonly received_ms: number };

interface Waiting {
  readonly readings: readonly NewReading[];
  readonly resolve: () => void;
  readonly reject: (error: Error) => void;
}

/**
 * The outbox in a SQLite file, with group commit: whatever came in while the last commit ran goes into the next one, so the disk is
 * waited for once a group and no timer delays a single reading. `uplinks` names those whose servers must have a reading before it goes.
 */
export function openSqliteOutbox(file: string, uplinks: readonly string[]): Outbox {
  const database = openSqlite(file, { maxBytes: MAX_BYTES });
  migrate(database, MIGRATIONS);
  return new SqliteOutbox(database, uplinks);
}

class SqliteOutbox implements Outbox {
  readonly gateway: string;
  readonly epoch: string;
  readonly #database: Sqlite;
  readonly #points: ReleasePoints;
  readonly #commit: (group: readonly Waiting[], releaseThrough: number) => void;
  readonly #listeners: (() => void)[] = [];
  #queue: Waiting[] = [];
  #scheduled = false;
  #closed = false;
  #deleted: number;
  #last: number;

  constructor(database: Sqlite, uplinks: readonly string[]) {
    this.#database = database;
    this.gateway = this.#identity('gateway');
    this.epoch = this.#identity('epoch');
    const insert = database.prepare('INSERT INTO reading (owner, point, observed_ms, received_ms, value, quality, reason, backlog) VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
    const remove = database.prepare('DELETE FROM reading WHERE sequence <= ?');
    const point = database.prepare('INSERT OR REPLACE INTO uplink (name, through) VALUES (?, ?)');
    this.#commit = database.transaction((group: readonly Waiting[], releaseThrough: number) => {
      if (releaseThrough > this.#deleted) remove.run(releaseThrough);
      for (const [name, through] of this.#points.ahead()) point.run(name, through);
      for (const { readings } of group) {
        for (const r of readings) insert.run(r.owner, r.point, r.observedAtMs, r.receivedAtMs, r.value, r.quality, r.reason, r.backlog ? 1 : 0);
      }
    });
    const newest = database.prepare("SELECT seq FROM sqlite_sequence WHERE name = 'reading'").get() as { seq: number } | undefined;
    const { first } = database.prepare('SELECT min(sequence) AS first FROM reading').get() as { first: number | null };
    this.#last = newest?.seq ?? 0;
    this.#deleted = (first ?? this.#last + 1) - 1;
    this.#points = new ReleasePoints(database, uplinks, this.#deleted);
  }

  put(readings: readonly NewReading[]): Promise<void> {
    if (this.#closed) return Promise.reject(new Error('the outbox is closed'));
    return new Promise((resolve, reject) => {
      this.#queue.push({ readings, resolve, reject });
      this.#schedule();
    });
  }

  read(after: number, limit: number, through: number = Number.MAX_SAFE_INTEGER): SequencedReading[] {
    const rows = this.#database
      .prepare('SELECT sequence, owner, point, observed_ms, received_ms, value, quality, reason, backlog FROM reading WHERE sequence > ? AND sequence <= ? ORDER BY sequence LIMIT ?')
      .all(after, through, limit) as Row[];
    return rows.map(({ backlog, observed_ms, received_ms, ...rest }) => ({ ...rest, observedAtMs: observed_ms, receivedAtMs: received_ms, backlog: backlog === 1 }));
  }

  last(): number {
    return this.#last;
  }

  /** Times of receipt grow with the sequence, so halving finds it without reading a backlog of millions. */
  firstSince(receivedAtMs: number): number | null {
    const next = this.#database.prepare('SELECT sequence, received_ms FROM reading WHERE sequence >= ? ORDER BY sequence LIMIT 1');
    let low = this.#deleted + 1;
    let high = this.#last + 1;
    while (low < high) {
      const middle = Math.floor((low + high) / 2);
      const row = next.get(middle) as { sequence: number; received_ms: number } | undefined;
      if (!row || row.received_ms >= receivedAtMs) high = middle;
      else low = row.sequence + 1;
    }
    return low > this.#last ? null : low;
  }

  newestAtMs(): number {
    const row = this.#database.prepare('SELECT received_ms FROM reading ORDER BY sequence DESC LIMIT 1').get() as { received_ms: number } | undefined;
    return row?.received_ms ?? 0;
  }

  /** Deleting waits for the next group: a release of its own would cost a wait for the disk. A repeat after a crash is harmless. */
  release(uplink: string, through: number): void {
    this.#points.advance(uplink, through);
  }

  onAdded(listener: () => void): void {
    this.#listeners.push(listener);
  }

  waiting(): number {
    return Math.max(0, this.#last - Math.max(this.#deleted, this.#points.all()));
  }

  async close(): Promise<void> {
    this.#closed = true;
    while (this.#scheduled) await new Promise((resolve) => setImmediate(resolve));
    this.#commit([], this.#points.all());
    this.#database.close();
  }

  #schedule(): void {
    if (this.#scheduled) return;
    this.#scheduled = true;
    setImmediate(() => {
      this.#scheduled = false;
      this.#flush();
    });
  }

  #flush(): void {
    const group = this.#queue;
    this.#queue = [];
    const releaseThrough = this.#points.all();
    try {
      this.#commit(group, releaseThrough);
    } catch (error) {
      // The disk did not take them: nobody is told that it did, and the senders send again.
      for (const { reject } of group) reject(error as Error);
      return;
    }
    this.#deleted = Math.max(this.#deleted, releaseThrough);
    this.#last += group.reduce((sum, { readings }) => sum + readings.length, 0);
    for (const { resolve } of group) resolve();
    for (const listener of this.#listeners) listener();
  }

  #identity(key: string): string {
    const found = this.#database.prepare('SELECT value FROM meta WHERE key = ?').get(key) as { value: string } | undefined;
    if (found) return found.value;
    const made = randomUUID();
    this.#database.prepare('INSERT INTO meta (key, value) VALUES (?, ?)').run(key, made);
    return made;
  }
}
