import type { PostgresSql } from '../../../host/postgres-sql.ts';

/** Partitioned by log time, or what is close to it. */
export const LOG_TIME_TABLES = ['log', 'reading', 'computed', 'journal'] as const;
type Table = (typeof LOG_TIME_TABLES)[number] | 'block';

/** Before and after these no partition is made: a time out there is a clock that is wrong, and one more partition for it would stay for good. */
const EARLIEST_MS = Date.UTC(2020, 0);
const LATEST_MS = Date.UTC(2100, 0);
/** Any number that nothing else locks by. */
const LOCK = 7_043_517;

/** Makes a table's partitions, one a month, before anything is written that falls into it. */
export class Partitions {
  readonly #sql: PostgresSql;
  readonly #known = new Set<string>();

  constructor(sql: PostgresSql) {
    this.#sql = sql;
  }

  /** In a transaction of its own: whoever writes waits for it once a month. */
  async ensure(tables: readonly Table[], timesMs: Iterable<number>): Promise<void> {
    const months = new Set<number>();
    for (const ms of timesMs) if (ms >= EARLIEST_MS && ms < LATEST_MS) months.add(monthOf(ms));
    const missing = tables.flatMap((table) => [...months].map((month) => ({ table, month, name: nameOf(table, month) }))).filter(({ name }) => !this.#known.has(name));
    if (missing.length === 0) return;
    await this.#sql.transaction(async () => {
      // Two servers that come into a new month at the same moment make it once.
      await this.#sql.run('SELECT pg_advisory_xact_lock(?)', LOCK);
      for (const { table, month, name } of missing) {
        await this.#sql.run(`CREATE TABLE IF NOT EXISTS ${name} PARTITION OF ${table} FOR VALUES FROM (${startOf(month)}) TO (${startOf(month + 1)})`);
      }
    });
    for (const { name } of missing) this.#known.add(name);
  }
}

/** Months since the year 0. */
function monthOf(ms: number): number {
  const date = new Date(ms);
  return date.getUTCFullYear() * 12 + date.getUTCMonth();
}

function startOf(month: number): number {
  return Date.UTC(Math.floor(month / 12), month % 12);
}

function nameOf(table: Table, month: number): string {
  return `${table}_${Math.floor(month / 12)}_${String((month % 12) + 1).padStart(2, '0')}`;
}
