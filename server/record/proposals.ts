import type { AlarmChanges } from '../../domain/site/rejudge.ts';
import type { Sql } from '../../host/sql.ts';

/** Changed alarm settings that somebody tried on recorded shifts and wants in force. */
export interface Proposal {
  readonly id: string;
  readonly site: string;
  readonly atMs: number;
  readonly by: string;
  readonly reason: string;
  readonly shifts: readonly string[];
  /** As written, in the words of `site.yaml`. */
  readonly alarms: Readonly<Record<string, unknown>>;
  /** As read. */
  readonly changes: AlarmChanges;
  /** What the shifts came to, as it was when it was proposed. */
  readonly before: unknown;
  readonly after: unknown;
  readonly inForce: { readonly atMs: number; readonly by: string } | null;
}

interface Row {
  readonly id: string;
  readonly site: string;
  readonly body: string;
  readonly forced_ms: number | null;
  readonly forced_by: string | null;
}

/** Proposals are only ever added; putting one into force is noted on it. */
export class Proposals {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  async add({ id, site, inForce: _inForce, ...body }: Proposal): Promise<void> {
    await this.#sql.run('INSERT INTO proposal (id, site, made_ms, body) VALUES (?, ?, ?, ?)', id, site, body.atMs, JSON.stringify(body));
  }

  /** Newest first. */
  async list(sites: readonly string[]): Promise<Proposal[]> {
    const rows = await this.#sql.all<Row>('SELECT * FROM proposal ORDER BY made_ms DESC, id');
    return rows.filter(({ site }) => sites.includes(site)).map(toProposal);
  }

  async find(id: string): Promise<Proposal | null> {
    const row = await this.#sql.get<Row>('SELECT * FROM proposal WHERE id = ?', id);
    return row ? toProposal(row) : null;
  }

  async noteInForce(id: string, atMs: number, by: string): Promise<void> {
    await this.#sql.run('UPDATE proposal SET forced_ms = ?, forced_by = ? WHERE id = ? AND forced_ms IS NULL', atMs, by, id);
  }
}

function toProposal({ id, site, body, forced_ms: atMs, forced_by: by }: Row): Proposal {
  return { ...(JSON.parse(body) as Omit<Proposal, 'id' | 'site' | 'inForce'>), id, site, inForce: atMs === null || by === null ? null : { atMs, by } };
}
