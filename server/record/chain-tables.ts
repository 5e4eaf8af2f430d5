import type { KeptLink } from '../../domain/wire/chain.ts';
import type { Sql, SqlValue } from '../../host/sql.ts';

/** Links in one statement. */
const ROWS = 50;

interface LinkRow {
  readonly through: number;
  readonly received_ms: number;
  readonly hash: Uint8Array;
}

/** The links of the gateways' chains: one chain for each gateway, epoch and owner. */
export class ChainTables {
  readonly #sql: Sql;
  readonly #ids = new Map<string, number>();

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Within the caller's transaction. A link that is there already stays: the gateway may have sent it twice. */
  async add(site: string, links: readonly KeptLink[]): Promise<void> {
    for (let from = 0; from < links.length; from += ROWS) {
      const some = links.slice(from, from + ROWS);
      const values: SqlValue[] = [];
      for (const link of some) values.push(await this.#idOf(site, link), link.through, link.receivedAtMs, Buffer.from(link.hash, 'hex'));
      await this.#sql.run(`INSERT INTO chain_link (chain, through, received_ms, hash) VALUES ${some.map(() => '(?, ?, ?, ?)').join(', ')} ON CONFLICT DO NOTHING`, ...values);
    }
  }

  /** What is known may not have been committed. */
  forget(): void {
    this.#ids.clear();
  }

  async links(site: string, owner: string, fromMs: number, toMs: number): Promise<KeptLink[]> {
    const chains = await this.#sql.all<{ id: number; gateway: string; epoch: string }>('SELECT id, gateway, epoch FROM chain WHERE site = ? AND owner = ? ORDER BY id', site, owner);
    const links: KeptLink[] = [];
    for (const { id, gateway, epoch } of chains) {
      for (const { through, received_ms: receivedAtMs, hash } of await this.#between(id, fromMs, toMs)) links.push({ gateway, epoch, owner, through, receivedAtMs, hash: Buffer.from(hash).toString('hex') });
    }
    return links;
  }

  /** Times of receipt grow along a chain. */
  async #between(chain: number, fromMs: number, toMs: number): Promise<LinkRow[]> {
    const edge = async (order: string, condition: string, ms: number): Promise<number | undefined> =>
      (await this.#sql.get<{ through: number | null }>(`SELECT ${order}(through) AS through FROM chain_link WHERE chain = ? AND received_ms ${condition} ?`, chain, ms))?.through ?? undefined;
    const first = (await edge('max', '<', fromMs)) ?? 0;
    const last = (await edge('min', '>', toMs)) ?? Number.MAX_SAFE_INTEGER;
    return this.#sql.all<LinkRow>('SELECT through, received_ms, hash FROM chain_link WHERE chain = ? AND through >= ? AND through <= ? ORDER BY through', chain, first, last);
  }

  async #idOf(site: string, { gateway, epoch, owner }: KeptLink): Promise<number> {
    const key = `${site} ${gateway} ${epoch} ${owner}`;
    const known = this.#ids.get(key);
    if (known !== undefined) return known;
    await this.#sql.run('INSERT INTO chain (site, gateway, epoch, owner) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING', site, gateway, epoch, owner);
    const row = await this.#sql.get<{ id: number }>('SELECT id FROM chain WHERE site = ? AND gateway = ? AND epoch = ? AND owner = ?', site, gateway, epoch, owner);
    if (!row) throw new Error(`the chain ${key} vanished`);
    this.#ids.set(key, row.id);
    return row.id;
  }
}
