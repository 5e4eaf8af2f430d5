import type { KeptLink } from '../../domain/wire/chain.ts';
import type { Sqlite } from '../../host/open-sqlite.ts';

interface LinkRow {
  readonly through: number;
  readonly received_ms: number;
  readonly hash: Uint8Array;
}

/** The links of the gateways' chains: one chain for each gateway, epoch and owner. */
export class ChainTables {
  readonly #database: Sqlite;
  readonly #ids = new Map<string, number>();

  constructor(database: Sqlite) {
    this.#database = database;
  }

  /** Within the caller's transaction. A link that is there already stays: the gateway may have sent it twice. */
  add(site: string, links: readonly KeptLink[]): void {
    if (links.length === 0) return;
    const insert = this.#database.prepare('INSERT OR IGNORE INTO chain_link (chain, through, received_ms, hash) VALUES (?, ?, ?, ?)');
    for (const link of links) insert.run(this.#idOf(site, link), link.through, link.receivedAtMs, Buffer.from(link.hash, 'hex'));
  }

  /** What is known may not have been committed. */
  forget(): void {
    this.#ids.clear();
  }

  links(site: string, owner: string, fromMs: number, toMs: number): KeptLink[] {
    const chains = this.#database.prepare('SELECT id, gateway, epoch FROM chain WHERE site = ? AND owner = ? ORDER BY id').all(site, owner) as { id: number; gateway: string; epoch: string }[];
    return chains.flatMap(({ id, gateway, epoch }) => this.#between(id, fromMs, toMs).map(({ through, received_ms: receivedAtMs, hash }) => ({ gateway, epoch, owner, through, receivedAtMs, hash: Buffer.from(hash).toString('hex') })));
  }

  /** Times of receipt grow along a chain. */
  #between(chain: number, fromMs: number, toMs: number): LinkRow[] {
    const edge = (order: string, condition: string, ms: number): number | null =>
      (this.#database.prepare(`SELECT ${order}(through) AS through FROM chain_link WHERE chain = ? AND received_ms ${condition} ?`).get(chain, ms) as { through: number | null }).through;
    const first = edge('max', '<', fromMs) ?? 0;
    const last = edge('min', '>', toMs) ?? Number.MAX_SAFE_INTEGER;
    return this.#database.prepare('SELECT through, received_ms, hash FROM chain_link WHERE chain = ? AND through >= ? AND through <= ? ORDER BY through').all(chain, first, last) as LinkRow[];
  }

  #idOf(site: string, { gateway, epoch, owner }: KeptLink): number {
    const key = `${site} ${gateway} ${epoch} ${owner}`;
    const known = this.#ids.get(key);
    if (known !== undefined) return known;
    this.#database.prepare('INSERT OR IGNORE INTO chain (site, gateway, epoch, owner) VALUES (?, ?, ?, ?)').run(site, gateway, epoch, owner);
    const { id } = this.#database.prepare('SELECT id FROM chain WHERE site = ? AND gateway = ? AND epoch = ? AND owner = ?').get(site, gateway, epoch, owner) as { id: number };
    this.#ids.set(key, id);
    return id;
  }
}
