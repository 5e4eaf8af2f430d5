import { POINT_KINDS, type PointKind } from '../../domain/points/catalogue.ts';
import { type Retention, RETENTION_CLASSES, type RetentionClass } from '../../domain/shift/site-config.ts';
import type { Action } from '../../domain/site/log.ts';
import type { ErasedStretch } from '../../domain/wire/trace.ts';
import { inTransaction, type Sqlite } from '../../host/open-sqlite.ts';

/** What people breathed, and the spare air they would have breathed: an employer keeps that longest. */
function classOf({ id, origin }: PointKind): RetentionClass {
  if (/^(breathing-air-|co-|reserve-air-)/.test(id)) return 'exposure';
  return origin === 'computed' ? 'computed' : 'line';
}

export interface Hold {
  readonly shift: string;
  readonly atMs: number;
  readonly by: string;
  readonly reason: string;
}

/** What was erased at once. */
export interface Erased {
  readonly kept: RetentionClass;
  readonly beforeMs: number;
  readonly samples: number;
}

/** Which packed readings may go, which may not, and what has gone. Rows of the last hours are never erased. */
export class RetentionRecord {
  readonly #database: Sqlite;

  constructor(database: Sqlite) {
    this.#database = database;
  }

  /** Part of the commit of a person's action. */
  note(site: string, atMs: number, action: Action): void {
    if (action.kind !== 'hold-record') return;
    if (action.isHeld) this.#database.prepare('INSERT OR REPLACE INTO hold (shift, site, at_ms, by, reason) VALUES (?, ?, ?, ?, ?)').run(action.shift, site, atMs, action.by, action.reason);
    else this.#database.prepare('DELETE FROM hold WHERE shift = ?').run(action.shift);
  }

  hold(shift: string): Hold | null {
    const row = this.#database.prepare('SELECT shift, at_ms AS atMs, by, reason FROM hold WHERE shift = ?').get(shift) as Hold | undefined;
    return row ? { shift: row.shift, atMs: row.atMs, by: row.by, reason: row.reason } : null;
  }

  /** Erases the blocks of one site whose time is over, but none that reaches into a held shift. One transaction for each class. */
  eraseDue(site: string, retention: Retention, nowMs: number): Erased[] {
    return RETENTION_CLASSES.flatMap((kept): Erased[] => {
      const keptMs = retention[kept];
      if (keptMs === null) return [];
      const beforeMs = nowMs - keptMs;
      const samples = this.#erase(site, kept, beforeMs, nowMs);
      return samples === 0 ? [] : [{ kept, beforeMs, samples }];
    });
  }

  /** Erased stretches of a point that reach into one. */
  erased(site: string, owner: string, point: string, fromMs: number, toMs: number): ErasedStretch[] {
    const rows = this.#database
      .prepare('SELECT from_ms, to_ms, at_ms, by FROM erasure WHERE series = (SELECT id FROM series WHERE site = ? AND owner = ? AND point = ?) AND to_ms >= ? AND from_ms <= ? ORDER BY from_ms')
      .raw()
      .all(site, owner, point, fromMs, toMs) as [number, number, number, string][];
    return rows.map(([firstMs, lastMs, atMs, by]) => ({ fromMs: firstMs, toMs: lastMs, atMs, by }));
  }

  #erase(site: string, kept: RetentionClass, beforeMs: number, nowMs: number): number {
    const points = POINT_KINDS.filter((kind) => classOf(kind) === kept).map(({ id }) => id);
    const due = this.#database
      .prepare(
        `SELECT block.rowid, block.series, from_ms, to_ms, count FROM block JOIN series ON series.id = block.series
         WHERE series.site = ? AND point IN (${points.map(() => '?').join(', ')}) AND to_ms < ? AND NOT EXISTS (
           SELECT 1 FROM hold JOIN shift ON shift.id = hold.shift WHERE hold.site = series.site AND to_ms >= shift.started_ms AND from_ms <= coalesce(shift.ended_ms, to_ms))
         ORDER BY block.series, from_ms`,
      )
      .raw();
    const remove = this.#database.prepare('DELETE FROM block WHERE rowid = ?');
    const note = this.#database.prepare('INSERT INTO erasure (series, from_ms, to_ms, count, at_ms, by) VALUES (?, ?, ?, ?, ?, ?)');
    let samples = 0;
    inTransaction(this.#database, () => {
      for (const [rowid, series, fromMs, toMs, count] of due.all(site, ...points, beforeMs) as [number, number, number, number, number][]) {
        remove.run(rowid);
        note.run(series, fromMs, toMs, count, nowMs, `retention: ${kept} in site.yaml`);
        samples += count;
      }
    })();
    return samples;
  }
}
