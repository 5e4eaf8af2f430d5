import { NO_SETUP, type Shift, type ShiftItem, shiftState } from '../../domain/shift/shift.ts';
import type { Headline } from '../../domain/shift/headline.ts';
import type { Sqlite } from '../../host/open-sqlite.ts';
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

/** Shifts, their items, photos and sealed bundles in SQLite. */
export class ShiftTables implements ShiftRecord {
  readonly #database: Sqlite;
  readonly #writeShift: (site: string, shift: Shift) => void;
  readonly #writeItem: (site: string, item: ShiftItem) => void;

  constructor(database: Sqlite) {
    this.#database = database;
    const shift = database.prepare(
      `INSERT INTO shift (id, site, rig, started_ms, started_by, ended_ms, state, body) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
       ON CONFLICT (id) DO UPDATE SET ended_ms = excluded.ended_ms, state = excluded.state, body = excluded.body`,
    );
    this.#writeShift = (site, held) => void shift.run(held.id, site, held.rig, held.startedAtMs, held.startedBy, held.endedAtMs, shiftState(held), JSON.stringify(held));
    const item = database.prepare('INSERT OR IGNORE INTO shift_item (id, site, shift, rig, at_ms, body) VALUES (?, ?, ?, ?, ?, ?)');
    this.#writeItem = (site, held) => void item.run(held.id, site, held.shift, held.rig, held.atMs, JSON.stringify(held));
  }

  /** Within the transaction of the entry that brought them about. */
  write(site: string, shift: Shift | null, items: readonly ShiftItem[]): void {
    if (shift) this.#writeShift(site, shift);
    for (const item of items) this.#writeItem(site, item);
  }

  list(query: ShiftQuery): RecordedShift[] {
    if (query.sites.length === 0) return [];
    const conditions = [`site IN (${query.sites.map(() => '?').join(', ')})`];
    const values: (string | number)[] = [...query.sites];
    const narrow = (condition: string, ...bound: (string | number)[]): void => {
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
      narrow("(EXISTS (SELECT 1 FROM json_tree(shift.body) WHERE atom LIKE ? ESCAPE '\\') OR EXISTS (SELECT 1 FROM shift_item, json_tree(shift_item.body) WHERE shift_item.shift = shift.id AND atom LIKE ? ESCAPE '\\'))", like, like);
    }
    const rows = this.#database.prepare(`SELECT * FROM shift WHERE ${conditions.join(' AND ')} ORDER BY started_ms DESC, id DESC LIMIT ?`).all(...values, query.limit) as ShiftRow[];
    return rows.map(toRecorded);
  }

  find(id: string): RecordedShift | null {
    const row = this.#database.prepare('SELECT * FROM shift WHERE id = ?').get(id) as ShiftRow | undefined;
    return row ? toRecorded(row) : null;
  }

  items(shift: string): ShiftItem[] {
    const rows = this.#database.prepare('SELECT body FROM shift_item WHERE shift = ? ORDER BY at_ms, length(id), id').all(shift) as { body: string }[];
    return rows.map(({ body }) => JSON.parse(body) as ShiftItem);
  }

  keepHeadline(shift: string, headline: Headline): void {
    this.#database.prepare('UPDATE shift SET headline = ? WHERE id = ?').run(JSON.stringify(headline), shift);
  }

  keepPhoto(sha256: string, { mediaType, bytes }: Photo): void {
    this.#database.prepare('INSERT OR IGNORE INTO photo (sha256, media_type, bytes) VALUES (?, ?, ?)').run(sha256, mediaType, Buffer.from(bytes));
  }

  photo(sha256: string): Photo | null {
    const row = this.#database.prepare('SELECT media_type, bytes FROM photo WHERE sha256 = ?').get(sha256) as { media_type: string; bytes: Uint8Array } | undefined;
    return row ? { mediaType: row.media_type, bytes: new Uint8Array(row.bytes) } : null;
  }

  keepBundle(shift: string, bytes: Uint8Array): void {
    this.#database.prepare('INSERT OR REPLACE INTO bundle (shift, bytes) VALUES (?, ?)').run(shift, Buffer.from(bytes));
  }

  bundle(shift: string): Uint8Array | null {
    const row = this.#database.prepare('SELECT bytes FROM bundle WHERE shift = ?').get(shift) as { bytes: Uint8Array } | undefined;
    return row ? new Uint8Array(row.bytes) : null;
  }
}

function toRecorded(row: ShiftRow): RecordedShift {
  const headline = row.headline === null ? null : (JSON.parse(row.headline) as Headline);
  if (row.body !== null) return { site: row.site, shift: JSON.parse(row.body) as Shift, headline };
  const { id, rig, started_ms: startedAtMs, started_by: startedBy, ended_ms: endedAtMs } = row;
  return { site: row.site, shift: { id, rig, startedAtMs, startedBy, endedAtMs, endedBy: null, drill: false, crew: [], setup: NO_SETUP, calibrations: [], signOffs: [], seal: null }, headline };
}
