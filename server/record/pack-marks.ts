import type { Sqlite } from '../../host/open-sqlite.ts';

/** How far a site's log is packed. Rows up to here are in blocks, also where they have not been cleared away yet. */
export interface PackMark {
  readonly toSeq: number;
  /** Log time of the last packed entry. */
  readonly toMs: number;
  /** The last packed reading. */
  readonly lastId: number;
}

/** Of a log of which nothing is packed. */
export const NOTHING_PACKED: PackMark = { toSeq: 0, toMs: Number.MIN_SAFE_INTEGER, lastId: 0 };

/** The marks of all sites, as the last transaction left them. */
export class PackMarks {
  readonly #marks = new Map<string, PackMark>();
  readonly #select: (site: string) => PackMark | undefined;

  constructor(database: Sqlite) {
    const select = database.prepare('SELECT to_seq AS toSeq, to_ms AS toMs, last_id AS lastId FROM pack WHERE site = ? ORDER BY from_seq DESC LIMIT 1');
    this.#select = (site) => select.get(site) as PackMark | undefined;
  }

  of(site: string): PackMark {
    let mark = this.#marks.get(site);
    if (!mark) this.#marks.set(site, (mark = this.#select(site) ?? NOTHING_PACKED));
    return mark;
  }

  forget(): void {
    this.#marks.clear();
  }
}
