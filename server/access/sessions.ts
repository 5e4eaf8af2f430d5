import { type AccessBase, write } from './access-store.ts';
import { both, type Doer, type Identity, parseSites, type Way } from './identity.ts';
import type { Role } from './role.ts';
import { digest, newId, newSecret } from './secret.ts';

/** A shift; whoever watches longer signs in anew. */
const SESSION_MS = 14 * 3_600_000;

export interface Session {
  readonly id: string;
  readonly name: string;
  readonly way: Way;
  /** What the session is held to, below the person's own role; null: nothing. */
  readonly cap: Role | null;
  readonly startedMs: number;
  readonly expiresMs: number;
  readonly address: string;
  readonly agent: string;
}

export interface NewSession {
  readonly name: string;
  readonly way: Way;
  readonly cap: Role | null;
  /** The rig-side device it came from: the session ends with it, and sees its site only. */
  readonly device: string | null;
  readonly address: string;
  readonly agent: string;
}

interface Row {
  readonly id: string;
  readonly name: string;
  readonly way: Way;
  readonly cap: Role | null;
  readonly role: Role;
  readonly sites: string | null;
  readonly device: string | null;
  readonly device_site: string | null;
}

/** Living sessions. The cookie holds the secret, the record its digest. */
export class Sessions {
  readonly #base: AccessBase;

  constructor(base: AccessBase) {
    this.#base = base;
  }

  /** A new secret at each sign-in, so that nobody can plant one. */
  async open({ name, way, cap, device, address, agent }: NewSession): Promise<{ secret: string; maxAgeS: number }> {
    const { clock } = this.#base;
    const secret = newSecret();
    const now = clock.nowMs();
    await this.#base.sql.run('DELETE FROM session WHERE expires_ms <= ?', now);
    await this.#base.sql.run('INSERT INTO session (hash, id, name, way, cap, device, started_ms, expires_ms, address, agent) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)', digest(secret), newId(), name, way, cap, device, now, now + SESSION_MS, address, agent.slice(0, 200));
    return { secret, maxAgeS: SESSION_MS / 1000 };
  }

  async identity(secret: string): Promise<Identity | null> {
    const now = this.#base.clock.nowMs();
    const row = await this.#base.sql.get<Row>(`SELECT session.id, session.name, session.way, session.cap, session.device, "user".role, "user".sites, screen.site AS device_site
         FROM session JOIN "user" ON "user".name = session.name LEFT JOIN screen ON screen.id = session.device AND screen.until_ms > ?
         WHERE session.hash = ? AND session.expires_ms > ? AND "user".disabled = 0`, now, digest(secret), now);
    if (!row || (row.device !== null && row.device_site === null)) return null;
    const sites = parseSites(row.sites);
    return { name: row.name, role: row.cap ?? row.role, sites: row.device_site === null ? sites : both(sites, [row.device_site]), key: keyOf(row.id), way: row.way, watchOnly: row.cap === 'viewer' && row.way === 'password' };
  }

  /** Of one person, or of all. */
  async list(name?: string): Promise<Session[]> {
    const rows = await this.#base.sql.all<Omit<Session, 'startedMs' | 'expiresMs'> & { started_ms: number; expires_ms: number }>(`SELECT id, name, way, cap, started_ms, expires_ms, address, agent FROM session WHERE expires_ms > ? ${name === undefined ? '' : 'AND name = ?'} ORDER BY started_ms DESC`, this.#base.clock.nowMs(), ...(name === undefined ? [] : [name]));
    return rows.map(({ started_ms: startedMs, expires_ms: expiresMs, ...rest }) => ({ ...rest, startedMs, expiresMs }));
  }

  /** Ends one; false where there is none of this id. */
  async end(id: string, doer: Doer, what = 'session-ended'): Promise<boolean> {
    const held = await this.#base.sql.get<{ name: string }>('SELECT name FROM session WHERE id = ?', id);
    if (!held) return false;
    await write(this.#base, doer, { what, subject: held.name }, () => this.#base.sql.run('DELETE FROM session WHERE id = ?', id));
    this.#base.ended([keyOf(id)]);
    return true;
  }

  /** Ends all of a person's, or of a device, within the caller's transaction; answers with their keys, to be told of once that is done. */
  async endAllOf(column: 'name' | 'device', value: string, except: string | null = null): Promise<string[]> {
    const ids = (await this.#base.sql.all<{ id: string }>(`SELECT id FROM session WHERE ${column} = ?`, value)).map(({ id }) => id).filter((id) => keyOf(id) !== except);
    for (const id of ids) await this.#base.sql.run('DELETE FROM session WHERE id = ?', id);
    return ids.map(keyOf);
  }
}

function keyOf(id: string): string {
  return `session ${id}`;
}
