import { deflateRawSync, inflateRawSync } from 'node:zlib';
import type { Sql } from '../../host/sql.ts';
import type { ConfigEntry } from '../../domain/site/log.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import { EVALUATOR_VERSION, type SiteSnapshot } from '../../domain/site/site-snapshot.ts';

/** States of a site from which its shifts can be folded again. */
export class ShiftStarts {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Keeps the newest saved state for a shift that starts now: it is some seconds old at most. Part of the commit that starts it. */
  async keep(site: string, shift: string): Promise<void> {
    const row = await this.#sql.get<{ seq: number; body: string }>('SELECT seq, body FROM snapshot WHERE site = ?', site);
    if (row) await this.#sql.run('INSERT INTO shift_start (shift, site, seq, body) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING', shift, site, row.seq, deflateRawSync(row.body));
  }

  /**
   * The state shortly before a shift. Where none was kept, or another version wrote it: an empty one with the configuration of that time,
   * from the last packed hour before the shift, so that averages and delays have come to rest by its start.
   */
  async before(site: string, shift: string, startedAtMs: number): Promise<SiteSnapshot> {
    const row = await this.#sql.get<{ body: Uint8Array }>('SELECT body FROM shift_start WHERE shift = ?', shift);
    const kept = row && (JSON.parse(inflateRawSync(row.body).toString('utf8')) as SiteSnapshot);
    return kept?.version === EVALUATOR_VERSION ? kept : this.#empty(site, startedAtMs);
  }

  async #empty(site: string, startedAtMs: number): Promise<SiteSnapshot> {
    const pack = await this.#sql.get<{ seq: number | null; at_ms: number | null }>('SELECT max(to_seq) AS seq, max(to_ms) AS at_ms FROM pack WHERE site = ? AND to_ms < ?', site, startedAtMs);
    const seq = pack?.seq ?? 0;
    const row = await this.#sql.get<{ body: string }>("SELECT body FROM log WHERE site = ? AND kind = 'config' AND seq <= ? ORDER BY seq DESC LIMIT 1", site, seq);
    const evaluator = new SiteEvaluator(site);
    if (row) evaluator.apply({ seq: 1, atMs: pack?.at_ms ?? 0, kind: 'config', ...(JSON.parse(row.body) as Pick<ConfigEntry, 'version' | 'config'>) });
    return { ...evaluator.save(), seq };
  }
}
