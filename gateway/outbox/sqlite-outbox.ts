import type { Reading } from '../../domain/points/reading.ts';
import type { ChainedReading, ChainLink } from '../../domain/wire/chain.ts';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { nextHash, startHash } from '../../host/chain-hash.ts';
import type { Log } from '../../host/log.ts';
import { isFull, openSqlite, type Sqlite } from '../../host/open-sqlite.ts';
import { makeRoom } from './make-room.ts';
import { NewestReadings } from './newest-readings.ts';
import { OutboxDatabase } from './outbox-database.ts';
import type { NewReading, Outbox, OutboxStatus } from './outbox.ts';
import { ReleasePoints } from './release-points.ts';
import { countSetAside, setAside, type SetAsideReading } from './set-aside.ts';

/** Half a gigabyte holds more than a week of a four-rig site. */
const MAX_BYTES = 512 * 1024 * 1024;
/** A group that still finds no room after so many pieces were made free is refused. */
const MAKE_ROOM_TIMES = 20;
const REOPEN_EVERY_MS = 1_000;

interface Waiting {
  readonly readings: readonly NewReading[];
  readonly resolve: () => void;
  readonly reject: (error: Error) => void;
}

export interface OutboxOptions {
  /** Those whose servers must have a reading before it goes. */
  readonly uplinks: readonly string[];
  readonly log: Log;
  readonly maxBytes?: number;
  /** Opens the file; a test hands in one that fails. */
  readonly open?: (file: string, options: { readonly maxBytes: number }) => Sqlite;
}

/**
 * The outbox in a SQLite file, with group commit: whatever came in while the last commit ran goes into the next one, so the disk is
 * waited for once a group and no timer delays a single reading. Full, it makes room by a stated order. After a commit that failed for
 * any other reason nothing is acknowledged until the file was opened anew, checked, and found to hold all that ever was.
 */
export function openSqliteOutbox(file: string, options: OutboxOptions): Outbox {
  return new SqliteOutbox(file, options);
}

/** Written out: spreading the rest costs more. */
function numbered({ owner, point, observedAtMs, receivedAtMs, value, quality, reason, backlog }: NewReading, sequence: number): SequencedReading {
  return { sequence, owner, point, observedAtMs, receivedAtMs, value, quality, reason, backlog };
}

/** Nothing new went wrong: it is only too early. */
class NotYet extends Error {}

class SqliteOutbox implements Outbox {
  readonly gateway: string;
  epoch: string;
  readonly #open: () => OutboxDatabase;
  readonly #log: Log;
  readonly #points: ReleasePoints;
  readonly #listeners: (() => void)[] = [];
  readonly #newest = new NewestReadings();
  #database: OutboxDatabase;
  #queue: Waiting[] = [];
  #scheduled = false;
  #closed = false;
  /** When the file is tried again; null while it works. */
  #brokenUntil: number | null = null;
  #deleted: number;
  #last: number;
  /** The newest hash of each owner's chain. */
  #heads: Map<string, string>;
  #dropped: number;
  #givenUp: number;
  #aside: ReadonlyMap<string, number>;

  constructor(file: string, options: OutboxOptions) {
    const open = options.open ?? openSqlite;
    this.#open = () => new OutboxDatabase(open(file, { maxBytes: options.maxBytes ?? MAX_BYTES }));
    this.#log = options.log;
    this.#database = this.#open();
    this.gateway = this.#database.identity('gateway');
    this.epoch = this.#database.identity('epoch');
    this.#last = this.#database.last();
    this.#deleted = (this.#database.first() ?? this.#last + 1) - 1;
    this.#heads = this.#database.heads();
    this.#dropped = Number(this.#database.meta('dropped') ?? 0);
    this.#givenUp = Number(this.#database.meta('given-up') ?? 0);
    this.#aside = countSetAside(this.#database.sqlite);
    this.#points = new ReleasePoints(this.#database.sqlite, options.uplinks, this.#deleted);
  }

  put(readings: readonly NewReading[]): Promise<void> {
    if (this.#closed) return Promise.reject(new Error('the outbox is closed'));
    return new Promise((resolve, reject) => {
      this.#queue.push({ readings, resolve, reject });
      this.#schedule();
    });
  }

  read(after: number, limit: number, through: number = Number.MAX_SAFE_INTEGER): readonly SequencedReading[] {
    return this.#newest.read(after, limit, through) ?? this.#database.read(after, limit, through);
  }

  seen(): Reading[] {
    return this.#database.seen();
  }

  links(after: number, through: number): ChainLink[] {
    return this.#database.links(after, through);
  }

  last(): number {
    return this.#last;
  }

  firstSince(receivedAtMs: number): number | null {
    return this.#database.firstSince(receivedAtMs);
  }

  newestAtMs(): number {
    return this.#database.newestAtMs();
  }

  /** Deleting waits for the next group: a release of its own would cost a wait for the disk. A repeat after a crash is harmless. */
  release(uplink: string, through: number): void {
    this.#points.advance(uplink, through);
  }

  renewEpoch(): void {
    this.epoch = this.#database.renewEpoch();
    this.#heads.clear();
    this.#log.error({ epoch: this.epoch, last: this.#last }, 'the outbox is a copy of an older day: it goes on under a new epoch, and what waits is handed over again');
  }

  onAdded(listener: () => void): void {
    this.#listeners.push(listener);
  }

  setAside(one: SetAsideReading): void {
    this.#newest.clear();
    const gone = setAside(this.#database.sqlite, one);
    if (gone > 0) {
      this.#dropped += gone;
      this.#database.setMeta('dropped', String(this.#dropped));
    }
    this.#aside = countSetAside(this.#database.sqlite);
  }

  countSetAside(uplink: string): number {
    return this.#aside.get(uplink) ?? 0;
  }

  waiting(): number {
    return Math.max(0, this.#last - Math.max(this.#deleted, this.#points.all()));
  }

  status(): OutboxStatus {
    return { filled: this.#brokenUntil === null ? this.#database.filled() : 1, dropped: this.#dropped, givenUp: this.#givenUp, writable: this.#brokenUntil === null };
  }

  async close(): Promise<void> {
    this.#closed = true;
    while (this.#scheduled) await new Promise((resolve) => setImmediate(resolve));
    if (this.#brokenUntil === null) this.#write([]);
    this.#database.sqlite.close();
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
    try {
      if (this.#brokenUntil !== null && performance.now() < this.#brokenUntil) throw new NotYet('the outbox could not be written and is not checked yet');
      if (this.#brokenUntil !== null) this.#mend();
      this.#write(group.flatMap(({ readings }) => readings));
    } catch (error) {
      this.#break(error);
      // The disk did not take them: nobody is told that it did, and the senders send again.
      for (const { reject } of group) reject(error as Error);
      return;
    }
    for (const { resolve } of group) resolve();
    for (const listener of this.#listeners) listener();
  }

  #write(put: readonly NewReading[]): void {
    const readings = put.map((reading, at): SequencedReading => numbered(reading, this.#last + 1 + at));
    const links = this.#linksFor(readings);
    const through = this.#points.all();
    const group = { readings, links, release: through > this.#deleted ? through : null, uplinks: this.#points.ahead() };
    for (let tries = 0; ; tries += 1) {
      try {
        this.#database.commit(group);
        break;
      } catch (error) {
        if (!isFull(error) || tries === MAKE_ROOM_TIMES) throw error;
        this.#makeRoom();
      }
    }
    if (group.release !== null) this.#newest.forget(group.release);
    this.#deleted = Math.max(this.#deleted, through);
    this.#last += readings.length;
    this.#newest.add(readings);
    for (const { owner, hash } of links) this.#heads.set(owner, hash);
  }

  /** One link an owner: over its readings in this group. */
  #linksFor(readings: readonly SequencedReading[]): ChainLink[] {
    const byOwner = new Map<string, ChainedReading[]>();
    for (const reading of readings) {
      const held = byOwner.get(reading.owner);
      if (held) held.push(reading);
      else byOwner.set(reading.owner, [reading]);
    }
    return [...byOwner].map(([owner, own]) => ({
      owner,
      through: own.at(-1)?.sequence ?? 0,
      receivedAtMs: own.at(-1)?.receivedAtMs ?? 0,
      hash: nextHash(this.#heads.get(owner) ?? startHash(this.gateway, this.epoch, owner), own),
    }));
  }

  #makeRoom(): void {
    this.#newest.clear();
    const { dropped, givenUp } = makeRoom(this.#database.sqlite, this.#points.most());
    if (dropped + givenUp === 0) throw new Error('the outbox is full and nothing in it can go');
    this.#dropped += dropped;
    this.#givenUp += givenUp;
    this.#deleted = Math.max(this.#deleted, (this.#database.first() ?? this.#last + 1) - 1);
    this.#database.setMeta('dropped', String(this.#dropped));
    this.#database.setMeta('given-up', String(this.#givenUp));
    this.#log.error({ dropped, givenUp, droppedInAll: this.#dropped }, dropped > 0 ? 'the outbox is full: the oldest readings were thinned' : 'the outbox is full: what one server has was given up for another');
  }

  #break(error: unknown): void {
    // A full file is whole; only this group found no room.
    if (isFull(error) || error instanceof NotYet) return;
    if (this.#brokenUntil === null) this.#log.error({ err: error }, 'the outbox could not be written: nothing is acknowledged until it was opened anew and checked');
    this.#brokenUntil = performance.now() + REOPEN_EVERY_MS;
  }

  /**
   * What a failed fsync leaves is not known, whatever the next one says: the file is opened anew and checked, and must hold everything
   * that was acknowledged and nothing that was not.
   */
  #mend(): void {
    this.#closeBroken();
    this.#database = this.#open();
    this.#database.verify();
    const found = this.#database.last();
    if (found < this.#last) this.#log.fatal({ found, expected: this.#last }, 'the disk lost readings that were acknowledged');
    this.#database.cutAfter(this.#last, this.#heads);
    this.#brokenUntil = null;
    this.#log.warn({ last: this.#last }, 'the outbox was opened anew and checked: readings are acknowledged again');
  }

  #closeBroken(): void {
    try {
      this.#database.sqlite.close();
    } catch (error) {
      this.#log.warn({ err: error }, 'the broken outbox did not close cleanly');
    }
  }
}
