import type { PostgresSql } from '../../../host/postgres-sql.ts';

/** Partitioned by log time, or what is close to it. */
export const LOG_TIME_TABLES = ['log', 'reading', 'computed', 'journal'] as const;
type Table = (typeof LOG_TIME_TABLES)[number] | 'block';
const TABLES: readonly Table[] = [...LOG_TIME_TABLES, 'block'];

/** Before and after these no partition is made: a time out there is a clock that is wrong, and one more partition for it would stay for good. */
const EARLIEST_MS = Date.UTC(2020, 0);
const LATEST_MS = Date.UTC(2100, 0);
/** Any number that nothing else locks by. */
const LOCK = 7_043_517;
/** A month is left alone until the one after it is over too: whatever is still on its way has come by then. */
const LEFT_ALONE = 2;
const TIDY_EVERY_MS = 3_600_000;
/** Whoever reads or writes waits so long at most behind a drop; one that gets no turn is tried again. */
const DROP_WAIT_MS = 500;
/** PostgreSQL's `lock_not_available`. */
const NO_TURN = '55P03';

/** Makes a table's partitions, one a month, before anything is written that falls into it; and drops them once they are empty and past. */
export class Partitions {
  readonly #sql: PostgresSql;
  readonly #known = new Set<string>();
  #tidiedAtMs = Number.NEGATIVE_INFINITY;

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
        // Where one was dropped, another server may not have known and written into the rest: that stays, or no partition could be made.
        if (await this.#hasRows(`${table}_else`, `${timeOf(table)} >= ${startOf(month)} AND ${timeOf(table)} < ${startOf(month + 1)}`)) continue;
        await this.#sql.run(`CREATE TABLE IF NOT EXISTS ${name} PARTITION OF ${table} FOR VALUES FROM (${startOf(month)}) TO (${startOf(month + 1)})`);
      }
    });
    for (const { name } of missing) this.#known.add(name);
  }

  /** Drops what packing or retention has emptied, once an hour at most. Answers with the names. */
  async dropEmptied(nowMs: number): Promise<string[]> {
    if (nowMs - this.#tidiedAtMs < TIDY_EVERY_MS) return [];
    this.#tidiedAtMs = nowMs;
    const dropped: string[] = [];
    for (const table of TABLES) {
      const rows = await this.#sql.all<{ name: string }>('SELECT relname AS name FROM pg_inherits JOIN pg_class ON pg_class.oid = inhrelid WHERE inhparent = ?::regclass ORDER BY relname', table);
      for (const { name } of rows) {
        const month = monthIn(table, name);
        if (month === null || month + LEFT_ALONE > monthOf(nowMs) || (await this.#hasRows(name)) || !(await this.#drop(table, name))) continue;
        this.#known.delete(name);
        dropped.push(name);
      }
    }
    return dropped;
  }

  /** False where somebody has written into it meanwhile, or somebody else has the table for long. */
  async #drop(table: Table, name: string): Promise<boolean> {
    try {
      return await this.#sql.transaction(async () => {
        await this.#sql.run(`SET LOCAL lock_timeout = ${DROP_WAIT_MS}`);
        await this.#sql.run('SELECT pg_advisory_xact_lock(?)', LOCK);
        // The whole first, as whoever reads or writes does: else each could wait for the other.
        await this.#sql.run(`LOCK TABLE ONLY ${table} IN ACCESS EXCLUSIVE MODE`);
        if (await this.#hasRows(name)) return false;
        await this.#sql.run(`DROP TABLE ${name}`);
        return true;
      });
    } catch (error) {
      if ((error as { code?: unknown }).code === NO_TURN) return false;
      throw error;
    }
  }

  async #hasRows(name: string, where = 'true'): Promise<boolean> {
    return (await this.#sql.get<{ found: boolean }>(`SELECT EXISTS (SELECT 1 FROM ${name} WHERE ${where}) AS found`))?.found === true;
  }
}

function timeOf(table: Table): string {
  return table === 'block' ? 'hour_ms' : 'at_ms';
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

/** The month in a partition's name, as `monthOf`; null for the one of what fits into none. */
function monthIn(table: Table, name: string): number | null {
  const found = new RegExp(`^${table}_(?<year>\\d{4})_(?<month>\\d\\d)$`).exec(name)?.groups;
  return found ? Number(found['year']) * 12 + Number(found['month']) - 1 : null;
}
