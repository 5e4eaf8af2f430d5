import type { PostgresSql } from '../../../host/postgres-sql.ts';
import { newId, newSecret } from '../../access/secret.ts';

/** A server that has not been heard for so long, by the database's clock, has lost its sites. */
export const LEASE_MS = 5_000;
/** Servers that are gone are forgotten after so long. */
const FORGOTTEN_MS = 86_400_000;
/** The database's own clock: the servers' clocks need not agree for this. */
const NOW = '(extract(epoch FROM clock_timestamp()) * 1000)::bigint';
/** PostgreSQL: somebody else holds the row just now. */
const HELD_JUST_NOW = '55P03';

/** What was to be written belongs to a site that another server has taken over. */
export class LeaseLost extends Error {}

/** How to reach the server that has a site. */
export interface Holder {
  readonly address: string;
  /** PEM of the certificate that it shows; null where it shows none of its own: in clear, or behind a proxy. */
  readonly certificate: string | null;
  /** What it asks of other servers; only who reads the database knows it. */
  readonly secret: string;
}

export interface Standing {
  readonly isOurs: boolean;
  /** True where no living server has it. */
  readonly isFree: boolean;
  /** Null where it is ours, free, or held by a server that does not listen yet. */
  readonly holder: Holder | null;
}

/** Who has each site that anybody ever had, and how many servers live. */
export interface Roll {
  readonly servers: number;
  readonly sites: ReadonlyMap<string, Standing>;
}

/**
 * Which server a site belongs to. Each server tells the database every second that it lives; a site of one that does not any more may be
 * taken by another. Each taking raises the site's epoch, and every write is checked against it within its own transaction: a server that
 * was only slow, or stopped and woken, writes nothing more, whatever it believes.
 */
export class Leases {
  readonly #sql: PostgresSql;
  readonly #beats: PostgresSql;
  readonly #held = new Map<string, number>();
  #us: { readonly id: string; readonly secret: string } | null = null;

  /** `sql`: what is written through; `beats`: for everything about leases that is no part of a write. */
  constructor(sql: PostgresSql, beats: PostgresSql) {
    this.#sql = sql;
    this.#beats = beats;
  }

  /** From now on this process writes nothing of a site without its lease. `home`: names its data directory, of which there is one process. */
  async begin(home: string): Promise<void> {
    this.#us = { id: newId(), secret: newSecret() };
    // What an earlier run of ours held need not run out first: it is dead, or the directory would be locked.
    await this.#beats.run(`DELETE FROM server WHERE home = ? OR until_ms < ${NOW} - ${FORGOTTEN_MS}`, home);
    await this.#beats.run(`INSERT INTO server (id, secret, home, until_ms) VALUES (?, ?, ?, ${NOW} + ${LEASE_MS})`, this.#us.id, this.#us.secret, home);
  }

  /** What other servers have to know to be listened to. */
  get secret(): string {
    return this.#need().secret;
  }

  /** The epoch under which we hold a site; null where we don't. */
  epochOf(site: string): number | null {
    return this.#held.get(site) ?? null;
  }

  /** Tells where other servers reach us, and by which certificate (PEM) they know that it is us; null: by the system's authorities. */
  async listen(address: string, certificate: string | null): Promise<void> {
    await this.#beats.run('UPDATE server SET address = ?, certificate = ? WHERE id = ?', address, certificate, this.#need().id);
  }

  /** Tells that we live. */
  async beat(): Promise<void> {
    const told = await this.#beats.run(`UPDATE server SET until_ms = ${NOW} + ${LEASE_MS} WHERE id = ?`, this.#need().id);
    if (told === 0) throw new Error('this server is no longer known to the database: another one was started with the same data directory');
  }

  async roll(): Promise<Roll> {
    const { id } = this.#need();
    const rows = await this.#beats.all<{ site: string; server: string; lives: boolean | null; address: string | null; certificate: string | null; secret: string | null }>(
      `SELECT site, server, until_ms > ${NOW} AS lives, address, certificate, secret FROM lease LEFT JOIN server ON server.id = lease.server`,
    );
    const living = await this.#beats.get<{ n: number }>(`SELECT count(*) AS n FROM server WHERE until_ms > ${NOW}`);
    const standing = ({ server, lives, address, certificate, secret }: (typeof rows)[number]): Standing => {
      const isOurs = server === id;
      const isFree = !isOurs && lives !== true;
      return { isOurs, isFree, holder: !isOurs && !isFree && address !== null && secret !== null ? { address, certificate, secret } : null };
    };
    return { servers: living?.n ?? 0, sites: new Map(rows.map((row) => [row.site, standing(row)])) };
  }

  /** Takes a site that no living server has, under a new epoch; false where somebody has it. Whatever its last owner was committing is over then. */
  async take(site: string): Promise<boolean> {
    const { id } = this.#need();
    await this.#beats.run("INSERT INTO lease (site, server, epoch) VALUES (?, '', 0) ON CONFLICT DO NOTHING", site);
    try {
      const taken = await this.#beats.transaction(async () => {
        const free = await this.#beats.get<{ epoch: number }>(`SELECT epoch FROM lease WHERE site = ? AND NOT EXISTS (SELECT 1 FROM server WHERE server.id = lease.server AND until_ms > ${NOW}) FOR UPDATE NOWAIT`, site);
        return free && this.#beats.get<{ epoch: number }>('UPDATE lease SET server = ?, epoch = epoch + 1 WHERE site = ? RETURNING epoch', id, site);
      });
      if (!taken) return false;
      this.#held.set(site, taken.epoch);
      return true;
    } catch (error) {
      // Its last owner has a commit under way, or another server takes it: whatever it is, it shows at the next look.
      if ((error as { code?: unknown }).code === HELD_JUST_NOW) return false;
      throw error;
    }
  }

  /** Gives a site back, so that the next server need not wait. */
  async release(site: string): Promise<void> {
    this.#held.delete(site);
    await this.#beats.run("UPDATE lease SET server = '' WHERE site = ? AND server = ?", site, this.#need().id);
  }

  /** We were told that a site is another one's. */
  forget(site: string): void {
    this.#held.delete(site);
  }

  /** Where every site's log ends. */
  async heads(): Promise<Map<string, number>> {
    const rows = await this.#beats.all<{ site: string; seq: number }>('SELECT site, seq FROM log_head');
    return new Map(rows.map(({ site, seq }) => [site, seq]));
  }

  /** Within the transaction that writes: no other server can take the site before it has ended. @throws LeaseLost */
  async check(site: string, epoch = this.#held.get(site)): Promise<void> {
    if (!this.#us) return;
    const row = epoch === undefined ? undefined : await this.#sql.get('SELECT epoch FROM lease WHERE site = ? AND server = ? AND epoch = ? FOR SHARE', site, this.#us.id, epoch);
    if (!row) throw new LeaseLost(`site ${site}: another server has taken it over; nothing more is written here`);
  }

  /** This server goes: its sites are free at once. */
  async end(): Promise<void> {
    if (!this.#us) return;
    this.#held.clear();
    await this.#beats.run('DELETE FROM server WHERE id = ?', this.#us.id);
  }

  #need(): { readonly id: string; readonly secret: string } {
    if (!this.#us) throw new Error('leases are not in use');
    return this.#us;
  }
}
