import { POINT_KINDS, type PointKind } from '../../domain/points/catalogue.ts';
import { type Retention, RETENTION_CLASSES, type RetentionClass } from '../../domain/shift/site-config.ts';
import type { Action } from '../../domain/site/log.ts';
import type { ErasedStretch } from '../../domain/wire/trace.ts';
import type { Sql } from '../../host/sql.ts';

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
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Part of the commit of a person's action. */
  async note(site: string, atMs: number, action: Action): Promise<void> {
    if (action.kind !== 'hold-record') return;
    await this.#sql.run('DELETE FROM hold WHERE shift = ?', action.shift);
    if (action.isHeld) await this.#sql.run('INSERT INTO hold (shift, site, at_ms, by, reason) VALUES (?, ?, ?, ?, ?)', action.shift, site, atMs, action.by, action.reason);
  }

  async hold(shift: string): Promise<Hold | null> {
    const row = await this.#sql.get<Hold>('SELECT shift, at_ms AS "atMs", by, reason FROM hold WHERE shift = ?', shift);
    return row ? { shift: row.shift, atMs: row.atMs, by: row.by, reason: row.reason } : null;
  }

  /** Erases the blocks of one site whose time is over, but none that reaches into a held shift. One transaction for each class. */
  async eraseDue(site: string, retention: Retention, nowMs: number): Promise<Erased[]> {
    const erased: Erased[] = [];
    for (const kept of RETENTION_CLASSES) {
      const keptMs = retention[kept];
      if (keptMs === null) continue;
      const beforeMs = nowMs - keptMs;
      const samples = await this.#sql.transaction(() => this.#erase(site, kept, beforeMs, nowMs));
      if (samples > 0) erased.push({ kept, beforeMs, samples });
    }
    return erased;
  }

  /** Erased stretches of a point that reach into one. */
  async erased(site: string, owner: string, point: string, fromMs: number, toMs: number): Promise<ErasedStretch[]> {
    const rows = await this.#sql.all<{ from_ms: number; to_ms: number; at_ms: number; by: string }>(
      'SELECT from_ms, to_ms, at_ms, by FROM erasure WHERE series = (SELECT id FROM series WHERE site = ? AND owner = ? AND point = ?) AND to_ms >= ? AND from_ms <= ? ORDER BY from_ms',
      site, owner, point, fromMs, toMs,
    );
    return rows.map(({ from_ms: firstMs, to_ms: lastMs, at_ms: atMs, by }) => ({ fromMs: firstMs, toMs: lastMs, atMs, by }));
  }

  async #erase(site: string, kept: RetentionClass, beforeMs: number, nowMs: number): Promise<number> {
    const points = POINT_KINDS.filter((kind) => classOf(kind) === kept).map(({ id }) => id);
    const due = await this.#sql.all<{ series: number; hour_ms: number; revision: number; from_ms: number; to_ms: number; count: number }>(
      `SELECT block.series, hour_ms, revision, from_ms, to_ms, count FROM block JOIN series ON series.id = block.series
       WHERE series.site = ? AND point IN (${points.map(() => '?').join(', ')}) AND to_ms < ? AND NOT EXISTS (
         SELECT 1 FROM hold JOIN shift ON shift.id = hold.shift WHERE hold.site = series.site AND to_ms >= shift.started_ms AND from_ms <= coalesce(shift.ended_ms, to_ms))
       ORDER BY block.series, from_ms`,
      site, ...points, beforeMs,
    );
    let samples = 0;
    for (const { series, hour_ms: hourMs, revision, from_ms: fromMs, to_ms: toMs, count } of due) {
      await this.#sql.run('DELETE FROM block WHERE series = ? AND hour_ms = ? AND revision = ?', series, hourMs, revision);
      await this.#sql.run('INSERT INTO erasure (series, from_ms, to_ms, count, at_ms, by) VALUES (?, ?, ?, ?, ?, ?)', series, fromMs, toMs, count, nowMs, `retention: ${kept} in site.yaml`);
      samples += count;
    }
    return samples;
  }
}
