import type { Sqlite } from '../../host/open-sqlite.ts';

/** How far each uplink's server has committed. A reading may go once all have it; each uplink's place is kept over a restart. */
export class ReleasePoints {
  readonly #through = new Map<string, number>();

  /** Only the uplinks of the configuration count: one that was taken out no longer holds anything back. What is deleted, all have. */
  constructor(database: Sqlite, uplinks: readonly string[], deleted: number) {
    const known = new Map((database.prepare('SELECT name, through FROM uplink').all() as { name: string; through: number }[]).map(({ name, through }) => [name, through]));
    for (const name of uplinks) this.#through.set(name, Math.max(deleted, known.get(name) ?? 0));
    for (const name of known.keys()) if (!this.#through.has(name)) database.prepare('DELETE FROM uplink WHERE name = ?').run(name);
  }

  advance(uplink: string, through: number): void {
    this.#through.set(uplink, Math.max(through, this.#through.get(uplink) ?? 0));
  }

  /** What every server has. */
  all(): number {
    return this.#through.size === 0 ? 0 : Math.min(...this.#through.values());
  }

  /** What at least one server has. */
  most(): number {
    return Math.max(0, ...this.#through.values());
  }

  /** Those ahead of the others: their places can't be told from what is deleted. */
  ahead(): [uplink: string, through: number][] {
    const all = this.all();
    return [...this.#through].filter(([, through]) => through > all);
  }
}
