import { NO_SETUP, type Shift, type ShiftItem, shiftState } from '../../domain/shift/shift.ts';
import type { Headline } from '../../domain/shift/headline.ts';
import type { Sql, SqlValue } from '../../host/sql.ts';
import type { Photo, RecordedShift, ShiftQuery, ShiftRecord } from './shift-record.ts';

interface ShiftRow {
  readonly id: string;
  readonly site: string;
  readonly rig: string;
  readonly started_ms: number;
  readonly started_by: string;
  readonly ended_ms: number | null;
  /** Null in rows of the first version. */
  readonly body: string | null;
  readonly headline: string | null;
}

/** Shifts, their items, photos and sealed bundles. */
export class ShiftTables implements ShiftRecord {
  readonly #sql: Sql;
  readonly #saysWord: string;

  /** `saysWord`: a condition on a shift with one bound pattern, true where any text of the shift or its items is like it. */
  constructor(sql: Sql, saysWord: string) {
    this.#sql = sql;
    this.#saysWord = saysWord;
  }

  /** Within the transaction of the entry that brought them about. */
  async write(site: string, shift: Shift | null, items: readonly ShiftItem[]): Promise<void> {
    if (shift) {
      await this.#sql.run(
        `INSERT INTO shift (id, site, rig, started_ms, started_by, ended_ms, state, body) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
         ON CONFLICT (id) DO UPDATE SET ended_ms = excluded.ended_ms, state = excluded.state, body = excluded.body`,
        shift.id, site, shift.rig, shift.startedAtMs, shift.startedBy, shift.endedAtMs, shiftState(shift), JSON.stringify(shift),
      );
    }
    for (const item of items) await this.#sql.run('INSERT INTO shift_item (id, site, shift, rig, at_ms, body) VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING', item.id, site, item.shift, item.rig, item.atMs, JSON.stringify(item));
  }

  async list(query: ShiftQuery): Promise<RecordedShift[]> {
    if (query.sites.length === 0) return [];
    const conditions = [`site IN (${query.sites.map(() => '?').join(', ')})`];
    const values: SqlValue[] = [...query.sites];
    const narrow = (condition: string, ...bound: SqlValue[]): void => {
      conditions.push(condition);
      values.push(...bound);
    };
    if (query.rig !== undefined) narrow('rig = ?', query.rig);
    if (query.state !== undefined) narrow('state = ?', query.state);
    if (query.fromMs !== undefined) narrow('started_ms >= ?', query.fromMs);
    if (query.toMs !== undefined) narrow('started_ms < ?', query.toMs);
    if (query.after) narrow('(started_ms, id) < (?, ?)', query.after.startedAtMs, query.after.id);
    for (const word of (query.search ?? '').split(/\s+/).filter((one) => one !== '')) {
      const like = `%${word.replaceAll(/[\\%_]/g, (sign) => `\\${sign}`)}%`;
      narrow(this.#saysWord, like, like);
    }
    const rows = await this.#sql.all<ShiftRow>(`SELECT * FROM shift WHERE ${conditions.join(' AND ')} ORDER BY started_ms DESC, id DESC LIMIT ?`, ...values, query.limit);
    return rows.map(toRecorded);
  }

  async find(id: string): Promise<RecordedShift | null> {
    const row = await this.#sql.get<ShiftRow>('SELECT * FROM shift WHERE id = ?', id);
    return row ? toRecorded(row) : null;
  }

  async items(shift: string): Promise<ShiftItem[]> {
    const rows = await this.#sql.all<{ body: string }>('SELECT body FROM shift_item WHERE shift = ? ORDER BY at_ms, length(id), id', shift);
    return rows.map(({ body }) => JSON.parse(body) as ShiftItem);
  }

  async keepHeadline(shift: string, headline: Headline): Promise<void> {
    await this.#sql.run('UPDATE shift SET headline = ? WHERE id = ?', JSON.stringify(headline), shift);
  }

  async keepPhoto(sha256: string, { mediaType, bytes }: Photo): Promise<void> {
    await this.#sql.run('INSERT INTO photo (sha256, media_type, bytes) VALUES (?, ?, ?) ON CONFLICT DO NOTHING', sha256, mediaType, Buffer.from(bytes));
  }

  async photo(sha256: string): Promise<Photo | null> {
    const row = await this.#sql.get<{ media_type: string; bytes: Uint8Array }>('SELECT media_type, bytes FROM photo WHERE sha256 = ?', sha256);
    return row ? { mediaType: row.media_type, bytes: new Uint8Array(row.bytes) } : null;
  }

  async keepBundle(shift: string, bytes: Uint8Array): Promise<void> {
    await this.#sql.run('INSERT INTO bundle (shift, bytes) VALUES (?, ?) ON CONFLICT (shift) DO UPDATE SET bytes = excluded.bytes', shift, Buffer.from(bytes));
  }

  async bundle(shift: string): Promise<Uint8Array | null> {
    const row = await this.#sql.get<{ bytes: Uint8Array }>('SELECT bytes FROM bundle WHERE shift = ?', shift);
    return row ? new Uint8Array(row.bytes) : null;
  }
}

function toRecorded(row: ShiftRow): RecordedShift {
  const headline = row.headline === null ? null : (JSON.parse(row.headline) as Headline);
  if (row.body !== null) return { site: row.site, shift: JSON.parse(row.body) as Shift, headline };
  const { id, rig, started_ms: startedAtMs, started_by: startedBy, ended_ms: endedAtMs } = row;
  return { site: row.site, shift: { id, rig, startedAtMs, startedBy, endedAtMs, endedBy: null, drill: false, crew: [], setup: NO_SETUP, calibrations: [], signOffs: [], seal: null }, headline };
}
