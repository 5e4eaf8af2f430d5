import { setImmediate } from 'node:timers/promises';
import { findPointKind } from '../../domain/points/catalogue.ts';
import type { Quality, QualityReason } from '../../domain/points/reading.ts';
import { inTransaction, type Sqlite } from '../../host/open-sqlite.ts';
import { encodeLog, type PackedEntry } from './blocks/log-block.ts';
import { encodeBlock, markOf } from './blocks/sample-block.ts';
import { BlockRows } from './block-rows.ts';
import type { BatchBody, LogRow } from './log-reader.ts';
import type { PackMarks } from './pack-marks.ts';

const HOUR_MS = 3_600_000;
/** How long an hour that is over stays as rows: what comes a little late still goes into its block. Rows are slow to draw, so not for long. */
const HOT_MS = 600_000;
/** A live reading that lies this close to the hour of its entry goes into that hour's block, not into a block of its own. */
export const SLACK_MS = 600_000;
/** Readings packed at once at most: they are held in memory meanwhile. */
const MOST = 1_000_000;
/** Rows read or removed between two looks at what else there is to do. */
const SLICE = 1_000;

/** Lets everything else have its turn; throws where packing is to stop. */
type Pause = () => Promise<void>;

type Take = (series: number, ...row: Parameters<BlockRows['add']>) => void;

interface Stretch {
  readonly site: string;
  readonly fromSeq: number;
  readonly toSeq: number;
  readonly toMs: number;
  readonly hourMs: number;
  readonly entries: readonly PackedEntry[];
  readonly firstId: number;
  readonly lastId: number;
}

interface Block {
  readonly series: number;
  readonly hourMs: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly count: number;
  readonly bytes: Buffer;
}

/**
 * Packs a site's log hour by hour into blocks, one for each point. It works in slices of a few milliseconds, so that the fold never
 * waits long for it; one transaction then turns an hour of rows into blocks, whole or not at all, and the rows, which nobody reads
 * from that moment on, are removed in slices again. Killed anywhere, the next start goes on where this one was.
 */
export class Packer {
  readonly #database: Sqlite;
  readonly #marks: PackMarks;

  constructor(database: Sqlite, marks: PackMarks) {
    this.#database = database;
    this.#marks = marks;
  }

  /** Packs the oldest hour that is over; false where there is none. One call at a time. @throws AbortError when told to stop */
  async packNext(site: string, signal?: AbortSignal): Promise<boolean> {
    const pause: Pause = () => setImmediate(undefined, { signal });
    await this.#clear(site, pause);
    const stretch = this.#nextStretch(site);
    if (!stretch) return false;
    const blocks = await this.#encode(stretch, pause);
    this.#write(stretch, blocks);
    await this.#clear(site, pause);
    return true;
  }

  #nextStretch(site: string): Stretch | null {
    const mark = this.#marks.of(site);
    const row = this.#database.prepare('SELECT (SELECT at_ms FROM log WHERE site = ?1 AND seq > ?2 ORDER BY seq LIMIT 1) AS oldest, (SELECT at_ms FROM log WHERE site = ?1 ORDER BY seq DESC LIMIT 1) AS newest').get(site, mark.toSeq) as { oldest: number | null; newest: number | null };
    if (row.oldest === null || row.newest === null) return null;
    const hourMs = Math.floor(row.oldest / HOUR_MS) * HOUR_MS;
    if (hourMs + HOUR_MS + HOT_MS > row.newest) return null;
    const entries: PackedEntry[] = [];
    let [toSeq, toMs, readings, firstId, lastId] = [mark.toSeq, mark.toMs, 0, Number.POSITIVE_INFINITY, mark.lastId];
    for (const { seq, at_ms: atMs, kind, body } of this.#rows(site, mark.toSeq, hourMs + HOUR_MS)) {
      if (readings >= MOST) break;
      [toSeq, toMs] = [seq, atMs];
      if (kind === 'tick') entries.push({ seq, atMs, batch: null });
      if (kind !== 'batch') continue;
      const { first, count, origin = '' } = JSON.parse(body) as BatchBody;
      entries.push({ seq, atMs, batch: { first, count, origin } });
      readings += count;
      firstId = Math.min(firstId, first);
      lastId = Math.max(lastId, first + count - 1);
    }
    return { site, fromSeq: mark.toSeq + 1, toSeq, toMs, hourMs, entries, firstId, lastId };
  }

  /** Rows of the log after a position and before a time. */
  *#rows(site: string, afterSeq: number, beforeMs: number): Generator<LogRow> {
    const page = this.#database.prepare('SELECT seq, at_ms, kind, body FROM log WHERE site = ? AND seq > ? ORDER BY seq LIMIT ?');
    for (let after = afterSeq; ; ) {
      const rows = page.all(site, after, SLICE) as LogRow[];
      for (const row of rows) {
        if (row.at_ms >= beforeMs) return;
        yield row;
        after = row.seq;
      }
      if (rows.length === 0) return;
    }
  }

  async #encode(stretch: Stretch, pause: Pause): Promise<Block[]> {
    const points = this.#pointsOf(stretch.site);
    const groups = new Map<string, { series: number; hourMs: number; rows: BlockRows }>();
    const rowsOf = (series: number, atMs: number): BlockRows => {
      const isNear = atMs >= stretch.hourMs - SLACK_MS && atMs < stretch.hourMs + HOUR_MS + SLACK_MS;
      const hourMs = isNear ? stretch.hourMs : Math.floor(atMs / HOUR_MS) * HOUR_MS;
      const key = `${series} ${hourMs}`;
      let group = groups.get(key);
      if (!group) groups.set(key, (group = { series, hourMs, rows: new BlockRows() }));
      return group.rows;
    };
    await this.#eachReading(stretch, pause, (series, ...row) => {
      if (points.has(series)) rowsOf(series, row[0]).add(...row);
    });
    await this.#eachComputed(stretch, pause, [...points.keys()], (series, ...row) => rowsOf(series, row[0]).add(...row));
    const blocks: Block[] = [];
    for (const { series, hourMs, rows } of groups.values()) {
      const { samples, origins } = rows.inOrder();
      const bytes = encodeBlock(samples, origins, findPointKind(points.get(series) ?? '')?.resolution ?? 1);
      blocks.push({ series, hourMs, fromMs: samples.atMs[0] ?? 0, toMs: samples.atMs.at(-1) ?? 0, count: samples.atMs.length, bytes });
      await pause();
    }
    return blocks;
  }

  async #eachReading({ firstId, lastId }: Stretch, pause: Pause, take: Take): Promise<void> {
    const page = this.#database.prepare('SELECT series, observed_ms, received_ms, value, quality, late, reason, id, sequence FROM reading WHERE id >= ? AND id <= ? ORDER BY id LIMIT ?').raw();
    for (let after = firstId; after <= lastId; await pause()) {
      const rows = page.all(after, lastId, SLICE) as [number, number, number, number | null, Quality, number, QualityReason | null, number, number][];
      for (const [series, atMs, receivedMs, value, quality, late, reason, id, sequence] of rows) take(series, atMs, receivedMs, value, markOf(quality, late === 1), reason, id, sequence);
      after = (rows.at(-1)?.[7] ?? lastId) + 1;
    }
  }

  async #eachComputed({ site, toSeq, toMs }: Stretch, pause: Pause, points: readonly number[], take: Take): Promise<void> {
    const mark = this.#marks.of(site);
    const select = this.#database.prepare('SELECT at_ms, value, quality, reason FROM computed WHERE series = ? AND at_ms <= ? AND seq <= ? AND (at_ms > ? OR seq > ?) ORDER BY at_ms').raw();
    for (const series of points) {
      const rows = select.all(series, toMs, toSeq, mark.toMs, mark.toSeq) as [number, number | null, Quality, QualityReason | null][];
      for (const [atMs, value, quality, reason] of rows) take(series, atMs, atMs, value, markOf(quality, false), reason, 0, 0);
      if (rows.length > 0) await pause();
    }
  }

  #write({ site, fromSeq, toSeq, toMs, lastId, entries }: Stretch, blocks: readonly Block[]): void {
    const addPack = this.#database.prepare('INSERT INTO pack (site, from_seq, to_seq, to_ms, last_id, bytes) VALUES (?, ?, ?, ?, ?, ?)');
    const revision = this.#database.prepare('SELECT coalesce(max(revision), 0) + 1 AS next FROM block WHERE series = ? AND hour_ms = ?');
    const addBlock = this.#database.prepare('INSERT INTO block (series, hour_ms, revision, pack, from_ms, to_ms, count, bytes) VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
    const log = entries.length === 0 ? Buffer.alloc(0) : encodeLog(entries);
    inTransaction(this.#database, () => {
      const pack = addPack.run(site, fromSeq, toSeq, toMs, lastId, log).lastInsertRowid;
      for (const { series, hourMs, fromMs, toMs: lastMs, count, bytes } of blocks) {
        const { next } = revision.get(series, hourMs) as { next: number };
        addBlock.run(series, hourMs, next, pack, fromMs, lastMs, count, bytes);
      }
    })();
    this.#marks.forget();
  }

  /** Removes rows that are in blocks. Harmless to repeat. */
  async #clear(site: string, pause: Pause): Promise<void> {
    const packs = this.#database.prepare('SELECT id, from_seq, to_seq, to_ms, last_id FROM pack WHERE site = ? AND is_cleared = 0').all(site) as { id: number; from_seq: number; to_seq: number; to_ms: number; last_id: number }[];
    if (packs.length === 0) return;
    const series = [...this.#pointsOf(site).keys()];
    const list = series.join(', ');
    const readings = this.#database.prepare(`DELETE FROM reading WHERE id IN (SELECT id FROM reading WHERE id <= ? AND +series IN (${list}) ORDER BY id LIMIT ${SLICE})`);
    const computed = this.#database.prepare(`DELETE FROM computed WHERE series = ?1 AND at_ms IN (SELECT at_ms FROM computed WHERE series = ?1 AND at_ms <= ?2 AND seq <= ?3 ORDER BY at_ms LIMIT ${SLICE})`);
    const log = this.#database.prepare("DELETE FROM log WHERE site = ? AND seq >= ? AND seq < ? AND kind IN ('batch', 'tick')");
    const drain = async (remove: () => { changes: number }): Promise<void> => {
      do await pause();
      while (remove().changes === SLICE);
    };
    for (const { id, from_seq: fromSeq, to_seq: toSeq, to_ms: toMs, last_id: lastId } of packs) {
      await drain(() => readings.run(lastId));
      for (const one of series) await drain(() => computed.run(one, toMs, toSeq));
      for (let seq = fromSeq; seq <= toSeq; seq += SLICE) {
        await pause();
        log.run(site, seq, Math.min(seq + SLICE, toSeq + 1));
      }
      this.#database.prepare('UPDATE pack SET is_cleared = 1 WHERE id = ?').run(id);
    }
  }

  /** Series of a site and their points. */
  #pointsOf(site: string): Map<number, string> {
    const rows = this.#database.prepare('SELECT id, point FROM series WHERE site = ?').all(site) as { id: number; point: string }[];
    return new Map(rows.map(({ id, point }) => [id, point]));
  }
}
