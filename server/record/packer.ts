import { setImmediate } from 'node:timers/promises';
import { findPointKind } from '../../domain/points/catalogue.ts';
import { encodeLog, type PackedEntry } from './blocks/log-block.ts';
import { encodeBlock, markOf } from './blocks/sample-block.ts';
import { BlockRows } from './block-rows.ts';
import type { LogRow } from './log-reader.ts';
import type { PackMark } from './pack-marks.ts';
import type { Block, Pack, PackTables } from './pack-tables.ts';
import { type BatchBody, HOUR_MS, SLACK_MS } from './read-tables.ts';

/** How long an hour that is over stays as rows: what comes a little late still goes into its block. Rows are slow to draw, so not for long. */
const HOT_MS = 600_000;
/** Readings packed at once at most: they are held in memory meanwhile. */
const MOST = 1_000_000;
/** Rows read or removed between two looks at what else there is to do. */
const SLICE = 1_000;

/** Lets everything else have its turn; throws where packing is to stop. */
type Pause = () => Promise<void>;

type Take = (series: number, ...row: Parameters<BlockRows['add']>) => void;

interface Stretch extends Pack {
  readonly from: PackMark;
  readonly hourMs: number;
  readonly entries: readonly PackedEntry[];
  readonly firstId: number;
}

/**
 * Packs a site's log hour by hour into blocks, one for each point. It works in slices of a few milliseconds, so that the fold never
 * waits long for it; one transaction then turns an hour of rows into blocks, whole or not at all, and the rows, which nobody reads
 * from that moment on, are removed in slices again. Killed anywhere, the next start goes on where this one was.
 */
export class Packer {
  readonly #tables: PackTables;

  constructor(tables: PackTables) {
    this.#tables = tables;
  }

  /** Packs the oldest hour that is over; false where there is none. One call at a time. @throws AbortError when told to stop */
  async packNext(site: string, signal?: AbortSignal): Promise<boolean> {
    const pause: Pause = () => setImmediate(undefined, { signal });
    await this.#clear(site, pause);
    const stretch = await this.#nextStretch(site);
    if (!stretch) return false;
    const blocks = await this.#encode(stretch, pause);
    await this.#tables.write(stretch, stretch.entries.length === 0 ? Buffer.alloc(0) : encodeLog(stretch.entries), blocks);
    await this.#clear(site, pause);
    return true;
  }

  async #nextStretch(site: string): Promise<Stretch | null> {
    const mark = await this.#tables.mark(site);
    const row = await this.#tables.edges(site, mark.toSeq);
    if (row.oldest === null || row.newest === null) return null;
    const hourMs = Math.floor(row.oldest / HOUR_MS) * HOUR_MS;
    if (hourMs + HOUR_MS + HOT_MS > row.newest) return null;
    const entries: PackedEntry[] = [];
    let [toSeq, toMs, readings, firstId, lastId] = [mark.toSeq, mark.toMs, 0, Number.POSITIVE_INFINITY, mark.lastId];
    for await (const { seq, at_ms: atMs, kind, body } of this.#rows(site, mark.toSeq, hourMs + HOUR_MS)) {
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
    return { site, from: mark, fromSeq: mark.toSeq + 1, toSeq, toMs, hourMs, entries, firstId, lastId };
  }

  /** Rows of the log after a position and before a time. */
  async *#rows(site: string, afterSeq: number, beforeMs: number): AsyncGenerator<LogRow> {
    for (let after = afterSeq; ; ) {
      const rows = await this.#tables.log(site, after, SLICE);
      for (const row of rows) {
        if (row.at_ms >= beforeMs) return;
        yield row;
        after = row.seq;
      }
      if (rows.length === 0) return;
    }
  }

  async #encode(stretch: Stretch, pause: Pause): Promise<Block[]> {
    const points = await this.#tables.points(stretch.site);
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

  async #eachReading({ site, firstId, lastId }: Stretch, pause: Pause, take: Take): Promise<void> {
    for (let after = firstId; after <= lastId; await pause()) {
      const rows = await this.#tables.readings(site, after, lastId, SLICE);
      for (const { series, observed_ms: atMs, received_ms: receivedMs, value, quality, late, reason, id, sequence } of rows) take(series, atMs, receivedMs, value, markOf(quality, late === 1), reason, id, sequence);
      after = (rows.at(-1)?.id ?? lastId) + 1;
    }
  }

  async #eachComputed(stretch: Stretch, pause: Pause, points: readonly number[], take: Take): Promise<void> {
    for (const series of points) {
      const rows = await this.#tables.computed(series, stretch.from, stretch);
      for (const { at_ms: atMs, value, quality, reason } of rows) take(series, atMs, atMs, value, markOf(quality, false), reason, 0, 0);
      if (rows.length > 0) await pause();
    }
  }

  /** Removes rows that are in blocks. Harmless to repeat. */
  async #clear(site: string, pause: Pause): Promise<void> {
    const packs = await this.#tables.uncleared(site);
    if (packs.length === 0) return;
    const series = [...(await this.#tables.points(site)).keys()];
    const drain = async (remove: () => Promise<number>): Promise<void> => {
      do await pause();
      while ((await remove()) === SLICE);
    };
    for (const pack of packs) {
      await drain(() => this.#tables.clearReadings(pack, series, SLICE));
      for (const one of series) await drain(() => this.#tables.clearComputed(pack, one, SLICE));
      for (let seq = pack.fromSeq; seq <= pack.toSeq; seq += SLICE) {
        await pause();
        await this.#tables.clearLog(site, seq, Math.min(seq + SLICE, pack.toSeq + 1));
      }
      await this.#tables.noteCleared(pack);
    }
  }
}
