import { deflateRawSync, inflateRawSync } from 'node:zlib';
import type { Sqlite } from '../../host/open-sqlite.ts';
import type { ConfigEntry } from '../../domain/site/log.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import { EVALUATOR_VERSION, type SiteSnapshot } from '../../domain/site/site-snapshot.ts';

/** States of a site from which its shifts can be folded again. */
export class ShiftStarts {
  readonly #database: Sqlite;

  constructor(database: Sqlite) {
    this.#database = database;
  }

  /** Keeps the newest saved state for a shift that starts now: it is some seconds old at most. Part of the commit that starts it. */
  keep(site: string, shift: string): void {
    const row = this.#database.prepare('SELECT seq, body FROM snapshot WHERE site = ?').get(site) as { seq: number; body: string } | undefined;
    if (row) this.#database.prepare('INSERT OR IGNORE INTO shift_start (shift, site, seq, body) VALUES (?, ?, ?, ?)').run(shift, site, row.seq, deflateRawSync(row.body));
  }

  /**
   * The state shortly before a shift. Where none was kept, or another version wrote it: an empty one with the configuration of that time,
   * from the last packed hour before the shift, so that averages and delays have come to rest by its start.
   */
  before(site: string, shift: string, startedAtMs: number): SiteSnapshot {
    const [row] = this.#database.prepare('SELECT body FROM shift_start WHERE shift = ?').raw().all(shift) as [Buffer][];
    const kept = row && (JSON.parse(inflateRawSync(row[0]).toString('utf8')) as SiteSnapshot);
    return kept?.version === EVALUATOR_VERSION ? kept : this.#empty(site, startedAtMs);
  }

  #empty(site: string, startedAtMs: number): SiteSnapshot {
    const pack = this.#database.prepare('SELECT max(to_seq) AS seq, max(to_ms) AS atMs FROM pack WHERE site = ? AND to_ms < ?').get(site, startedAtMs) as { seq: number | null; atMs: number | null };
    const seq = pack.seq ?? 0;
    const row = this.#database.prepare("SELECT body FROM log WHERE site = ? AND kind = 'config' AND seq <= ? ORDER BY seq DESC LIMIT 1").get(site, seq) as { body: string } | undefined;
    const evaluator = new SiteEvaluator(site);
    if (row) evaluator.apply({ seq: 1, atMs: pack.atMs ?? 0, kind: 'config', ...(JSON.parse(row.body) as Pick<ConfigEntry, 'version' | 'config'>) });
    return { ...evaluator.save(), seq };
  }
}
