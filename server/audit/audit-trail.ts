import { createHash } from 'node:crypto';
import { canonicalJson } from '../../host/canonical-json.ts';
import type { Sql, SqlValue } from '../../host/sql.ts';

/** What somebody did that others must be able to see later. */
export interface Deed {
  readonly atMs: number;
  /** Who: a person, a token's name, or `potside`. */
  readonly by: string;
  readonly role: string;
  /** From where: an address, `console`, `server`. */
  readonly address: string;
  /** In one word with hyphens, e.g. `signed-in`, `alarm-shelved`; a word that was written is never renamed. */
  readonly what: string;
  readonly site?: string | null;
  /** What it was done to: a person, an alarm, a rig. */
  readonly subject?: string | null;
  readonly old?: unknown;
  readonly new?: unknown;
  readonly why?: string | null;
}

/** A deed as it stands in the trail. `hash` is over this row and the one before it. */
export interface AuditRow extends Required<Deed> {
  readonly seq: number;
  readonly hash: string;
}

export interface AuditQuery {
  readonly by?: string | undefined;
  readonly what?: string | undefined;
  readonly site?: string | undefined;
  readonly subject?: string | undefined;
  /** Found in any of the texts, whatever the case. */
  readonly text?: string | undefined;
  readonly fromMs?: number | undefined;
  readonly toMs?: number | undefined;
  readonly beforeSeq?: number | undefined;
  /** Sites that may be seen; null: all, and what belongs to no site. */
  readonly sites: readonly string[] | null;
  readonly limit: number;
}

export type AuditVerdict = { readonly intact: true; readonly rows: number; readonly hash: string } | { readonly intact: false; readonly seq: number; readonly reason: string };

type Held = Omit<AuditRow, 'atMs' | 'old' | 'new'> & { readonly at_ms: number; readonly old: string | null; readonly new: string | null };

const BEGINNING = '0'.repeat(64);

/** The audit trail: rows chained by SHA-256, only ever added to. A changed, missing or inserted row is named by `verify`. */
export class AuditTrail {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Adds a deed, as a part of the transaction that it is called in. */
  async add(deed: Deed): Promise<void> {
    const row = {
      at_ms: deed.atMs, by: kept(deed.by), role: deed.role, address: kept(deed.address), what: deed.what, site: deed.site ?? null, subject: kept(deed.subject ?? null),
      old: asText(deed.old), new: asText(deed.new), why: kept(deed.why ?? null),
    };
    await this.#sql.transaction(async () => {
      // The last row must not move meanwhile.
      await this.#sql.lock('audit');
      const last = await this.#sql.get<{ seq: number; hash: string }>('SELECT seq, hash FROM audit ORDER BY seq DESC LIMIT 1');
      const seq = (last?.seq ?? 0) + 1;
      await this.#sql.run(
        'INSERT INTO audit (seq, at_ms, by, role, address, what, site, subject, old, new, why, hash) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)',
        seq, row.at_ms, row.by, row.role, row.address, row.what, row.site, row.subject, row.old, row.new, row.why, chained(last?.hash ?? BEGINNING, { seq, ...row }),
      );
    });
  }

  /** Newest first. */
  async find(query: AuditQuery): Promise<AuditRow[]> {
    const conditions: string[] = ['1 = 1'];
    const values: SqlValue[] = [];
    const narrow = (condition: string, ...bound: SqlValue[]): void => {
      conditions.push(condition);
      values.push(...bound);
    };
    if (query.by !== undefined) narrow('by = ?', query.by);
    if (query.what !== undefined) narrow('what = ?', query.what);
    if (query.site !== undefined) narrow('site = ?', query.site);
    if (query.subject !== undefined) narrow('subject = ?', query.subject);
    if (query.fromMs !== undefined) narrow('at_ms >= ?', query.fromMs);
    if (query.toMs !== undefined) narrow('at_ms < ?', query.toMs);
    if (query.beforeSeq !== undefined) narrow('seq < ?', query.beforeSeq);
    if (query.text !== undefined) narrow("lower(by || ' ' || what || ' ' || coalesce(subject, '') || ' ' || coalesce(old, '') || ' ' || coalesce(new, '') || ' ' || coalesce(why, '')) LIKE ? ESCAPE '\\'", likeOf(query.text));
    if (query.sites) narrow(`site IN (${query.sites.map(() => '?').join(', ')})`, ...query.sites);
    const rows = await this.#sql.all<Held>(`SELECT * FROM audit WHERE ${conditions.join(' AND ')} ORDER BY seq DESC LIMIT ?`, ...values, query.limit);
    return rows.map(({ at_ms: atMs, old, new: now, ...rest }) => ({ ...rest, atMs, old: asValue(old), new: asValue(now) }));
  }

  /** Goes over the whole chain. What was cut off at its end shows only against a hash noted elsewhere. */
  async verify(): Promise<AuditVerdict> {
    let before = BEGINNING;
    let count = 0;
    const page = (): Promise<Held[]> => this.#sql.all<Held>('SELECT * FROM audit WHERE seq > ? ORDER BY seq LIMIT 1000', count);
    for (let rows = await page(); rows.length > 0; rows = await page()) {
      for (const { hash, ...row } of rows) {
        count += 1;
        if (row.seq !== count) return { intact: false, seq: count, reason: `row ${count} is missing` };
        if (chained(before, row) !== hash) return { intact: false, seq: count, reason: `row ${count} was changed, or the one before it` };
        before = hash;
      }
    }
    return { intact: true, rows: count, hash: before };
  }
}

function chained(before: string, row: Omit<Held, 'hash'>): string {
  return createHash('sha256').update(`${before}\n${canonicalJson(row)}`).digest('hex');
}

function asText(value: unknown): string | null {
  return value === undefined || value === null ? null : canonicalJson(value);
}

/** As every database gives it back: what none can hold is replaced before it is hashed, else the row would look changed. */
function kept<T extends string | null>(text: T): T {
  return (text === null ? null : text.replace(/\0|\p{Surrogate}/gu, '\ufffd')) as T;
}

function asValue(text: string | null): unknown {
  return text === null ? null : (JSON.parse(text) as unknown);
}

function likeOf(text: string): string {
  return `%${text.toLowerCase().replaceAll(/[\\%_]/g, (sign) => `\\${sign}`)}%`;
}
