import type { PostgresSql, SqlArray } from '../../../host/postgres-sql.ts';
import { journalRows } from '../journal-rows.ts';
import { logBody } from '../log-body.ts';
import type { CommitUnit } from '../store.ts';
import type { Leases } from './leases.ts';
import { LOG_TIME_TABLES, type Partitions } from './partitions.ts';

/** What is known of one site's numbers; forgotten when a commit fails. */
interface SiteNumbers {
  readonly series: Map<string, number>;
  nextReading: number;
}

type Row = readonly (string | number | null)[];

/** Writes what is many: one statement a table, each column bound as one array. */
export class PostgresWriter {
  readonly #leases: Leases;
  readonly #sql: PostgresSql;
  readonly #partitions: Partitions;
  readonly #numbers = new Map<string, SiteNumbers>();

  constructor(sql: PostgresSql, partitions: Partitions, leases: Leases) {
    this.#leases = leases;
    this.#sql = sql;
    this.#partitions = partitions;
  }

  /** `rest` writes in the same transaction. */
  async commit(unit: CommitUnit, rest: () => Promise<void>): Promise<void> {
    const { site, logged } = unit;
    if (logged.length > 0) await this.#partitions.ensure(LOG_TIME_TABLES, logged.flatMap(({ entry, effects }) => [entry.atMs, ...effects.computed.map(({ atMs }) => atMs)]));
    await this.#sql.transaction(
      async () => {
        await this.#leases.check(site, unit.epoch);
        await this.#moveHead(unit);
        await this.#write(unit);
        await rest();
      },
      () => this.#numbers.delete(site),
    );
  }

  /**
   * The log goes on exactly where it ended. Whoever else has written to it meanwhile, another server with the same site for one, makes
   * this commit fail: no two histories of a site are ever mixed.
   */
  async #moveHead({ site, logged }: CommitUnit): Promise<void> {
    const [first, last] = [logged[0]?.entry.seq, logged.at(-1)?.entry.seq];
    if (first === undefined || last === undefined) return;
    const moved = await this.#sql.run('INSERT INTO log_head (site, seq) VALUES (?, ?) ON CONFLICT (site) DO UPDATE SET seq = excluded.seq WHERE log_head.seq = ?', site, last, first - 1);
    if (moved === 0) throw new Error(`site ${site}: somebody else has written to its log; this commit would have followed entry ${first - 1}`);
  }

  async #write({ site, logged }: CommitUnit): Promise<void> {
    const numbers = await this.#numbersOf(site);
    const log: Row[] = [];
    const readings: Row[] = [];
    const journal: Row[] = [];
    // Of two values of one point at one time the later one stands, also within one statement.
    const computed = new Map<string, Row>();
    for (const { entry, effects } of logged) {
      log.push([entry.seq, entry.atMs, entry.kind, logBody(entry, numbers.nextReading)]);
      if (entry.kind === 'batch') {
        for (const r of entry.readings) {
          readings.push([numbers.nextReading, entry.atMs, await this.#seriesOf(numbers, site, r.owner, r.point), r.observedAtMs, r.receivedAtMs, r.value, r.quality, r.reason, r.late ? 1 : 0, r.sequence]);
          numbers.nextReading += 1;
        }
      }
      for (const c of effects.computed) {
        const series = await this.#seriesOf(numbers, site, c.owner, c.point);
        computed.set(`${series} ${c.atMs}`, [series, c.atMs, c.value, c.quality, c.reason, entry.seq]);
      }
      for (const row of journalRows(entry, effects)) journal.push([entry.seq, row.n, row.atMs, row.kind, row.owner, row.alarm, JSON.stringify(row.detail)]);
    }
    await this.#insert('log (site, seq, at_ms, kind, body)', ['bigint', 'bigint', 'text', 'text'], site, log);
    await this.#insert('reading (site, id, at_ms, series, observed_ms, received_ms, value, quality, reason, late, sequence)', ['bigint', 'bigint', 'integer', 'bigint', 'bigint', 'float8', 'text', 'text', 'integer', 'bigint'], site, readings);
    await this.#insert(
      'computed (site, series, at_ms, value, quality, reason, seq)', ['integer', 'bigint', 'float8', 'text', 'text', 'bigint'], site, [...computed.values()],
      'ON CONFLICT (site, series, at_ms) DO UPDATE SET value = excluded.value, quality = excluded.quality, reason = excluded.reason, seq = excluded.seq',
    );
    await this.#insert('journal (site, seq, n, at_ms, kind, owner, alarm, detail)', ['bigint', 'integer', 'bigint', 'text', 'text', 'text', 'text'], site, journal);
  }

  async #insert(into: string, types: readonly string[], site: string, rows: readonly Row[], conflict = ''): Promise<void> {
    if (rows.length === 0) return;
    const columns = types.map((_, column): SqlArray => rows.map((row) => row[column] ?? null));
    await this.#sql.query(`INSERT INTO ${into} SELECT ?::text, * FROM unnest(${types.map((type) => `?::${type}[]`).join(', ')}) ${conflict}`, [site, ...columns]);
  }

  async #numbersOf(site: string): Promise<SiteNumbers> {
    let numbers = this.#numbers.get(site);
    if (!numbers) {
      const rows = await this.#sql.all<{ id: number; owner: string; point: string }>('SELECT id, owner, point FROM series WHERE site = ?', site);
      const newest = await this.#sql.get<{ id: number }>('SELECT greatest((SELECT max(id) FROM reading WHERE site = ?), (SELECT max(last_id) FROM pack WHERE site = ?), 0) AS id', site, site);
      numbers = { series: new Map(rows.map(({ id, owner, point }) => [`${owner}/${point}`, id])), nextReading: (newest?.id ?? 0) + 1 };
      this.#numbers.set(site, numbers);
    }
    return numbers;
  }

  async #seriesOf({ series }: SiteNumbers, site: string, owner: string, point: string): Promise<number> {
    const key = `${owner}/${point}`;
    const known = series.get(key);
    if (known !== undefined) return known;
    const made = await this.#sql.get<{ id: number }>('INSERT INTO series (site, owner, point) VALUES (?, ?, ?) ON CONFLICT (site, owner, point) DO UPDATE SET point = excluded.point RETURNING id', site, owner, point);
    if (!made) throw new Error(`series ${site}/${key} vanished`);
    series.set(key, made.id);
    return made.id;
  }
}
