import type { Sqlite } from '../../host/open-sqlite.ts';

/** Numbers for (site, owner, point), so that a row of the record costs a number and not three names. */
export class SeriesIds {
  readonly #ids = new Map<string, number>();
  readonly #select: (site: string, owner: string, point: string) => { id: number } | undefined;
  readonly #insert: (site: string, owner: string, point: string) => void;

  constructor(database: Sqlite) {
    const select = database.prepare('SELECT id FROM series WHERE site = ? AND owner = ? AND point = ?');
    const insert = database.prepare('INSERT INTO series (site, owner, point) VALUES (?, ?, ?)');
    this.#select = (...name) => select.get(...name) as { id: number } | undefined;
    this.#insert = (...name) => void insert.run(...name);
  }

  find(site: string, owner: string, point: string): number | undefined {
    const key = `${site}/${owner}/${point}`;
    const known = this.#ids.get(key);
    if (known !== undefined) return known;
    const row = this.#select(site, owner, point);
    if (row) this.#ids.set(key, row.id);
    return row?.id;
  }

  need(site: string, owner: string, point: string): number {
    const found = this.find(site, owner, point);
    if (found !== undefined) return found;
    this.#insert(site, owner, point);
    const made = this.find(site, owner, point);
    if (made === undefined) throw new Error(`series ${site}/${owner}/${point} vanished`);
    return made;
  }

  /** After a transaction was rolled back: numbers given in it no longer hold. */
  forget(): void {
    this.#ids.clear();
  }
}
