import { createHash, randomBytes } from 'node:crypto';
import { hash, verify } from '@node-rs/argon2';
import type { Clock } from '../../host/clock.ts';
import type { Sqlite } from '../../host/open-sqlite.ts';
import { UserError } from '../../host/user-error.ts';
import { isRole, isTokenRole, ROLES, TOKEN_ROLES, type Role } from './role.ts';

/** A person or program that signed in. */
export interface Identity {
  readonly name: string;
  readonly role: Role;
}

/** OWASP's minimum for argon2id: 19 MiB, two passes. */
const ARGON2ID = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;
const SESSION_MS = 14 * 3_600_000;
const NAME = /^[\p{L}\p{N}][\p{L}\p{N} ._@-]{0,63}$/u;
const MIN_PASSWORD = 8;

/** Users, sessions and tokens. Only hashes of secrets are kept: argon2id of passwords, SHA-256 of random tokens. */
export class Accounts {
  readonly #database: Sqlite;
  readonly #clock: Clock;
  /** Verified when the name is unknown, so that a wrong name takes as long as a wrong password. */
  readonly #nobody: Promise<string>;

  constructor(database: Sqlite, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
    this.#nobody = hash(randomBytes(16).toString('hex'), ARGON2ID);
  }

  /** Adds a user, or gives an existing one a new role and password and enables it. @throws UserError for a bad name, role or password. */
  async addUser(name: string, role: string, password: string): Promise<void> {
    if (!NAME.test(name)) throw new UserError(`${JSON.stringify(name)} is not a name: expected 1 to 64 letters, digits, spaces or . _ @ -`);
    if (!isRole(role)) throw new UserError(`${JSON.stringify(role)} is not a role: expected one of ${ROLES.join(', ')}`);
    if (password.length < MIN_PASSWORD) throw new UserError(`the password is too short: found ${password.length} characters, expected at least ${MIN_PASSWORD}`);
    const hashed = await hash(password, ARGON2ID);
    this.#database
      .prepare('INSERT INTO user (name, role, hash) VALUES (?, ?, ?) ON CONFLICT (name) DO UPDATE SET role = excluded.role, hash = excluded.hash, disabled = 0')
      .run(name, role, hashed);
    this.#database.prepare('DELETE FROM session WHERE name = ?').run(name);
  }

  users(): { name: string; role: string; disabled: boolean }[] {
    const rows = this.#database.prepare('SELECT name, role, disabled FROM user ORDER BY name').all() as { name: string; role: string; disabled: number }[];
    return rows.map((row) => ({ ...row, disabled: row.disabled === 1 }));
  }

  /** Ends a user's sessions and refuses new ones. @throws UserError when there is no such user. */
  disableUser(name: string): void {
    const done = this.#database.prepare('UPDATE user SET disabled = 1 WHERE name = ?').run(name);
    if (done.changes === 0) throw new UserError(`there is no user ${JSON.stringify(name)}`);
    this.#database.prepare('DELETE FROM session WHERE name = ?').run(name);
  }

  /** Makes a bearer token for a program; shown once, kept as a hash. */
  addToken(name: string, role: string): string {
    if (!NAME.test(name)) throw new UserError(`${JSON.stringify(name)} is not a name: expected 1 to 64 letters, digits, spaces or . _ @ -`);
    if (!isTokenRole(role)) throw new UserError(`${JSON.stringify(role)} is not a role: expected one of ${TOKEN_ROLES.join(', ')}`);
    if (this.#database.prepare('SELECT 1 FROM token WHERE name = ?').get(name)) throw new UserError(`there is already a token ${JSON.stringify(name)}`);
    const token = newSecret();
    this.#database.prepare('INSERT INTO token (hash, name, role) VALUES (?, ?, ?)').run(digest(token), name, role);
    return token;
  }

  /** Checks a password; a new session's secret where it is right, null where not. */
  async signIn(name: string, password: string): Promise<{ session: string; identity: Identity; maxAgeS: number } | null> {
    const row = this.#database.prepare('SELECT role, hash FROM user WHERE name = ? AND disabled = 0').get(name) as { role: Role; hash: string } | undefined;
    const isRight = await verify(row?.hash ?? (await this.#nobody), password);
    if (!row || !isRight) return null;
    const session = newSecret();
    const now = this.#clock.nowMs();
    this.#database.prepare('DELETE FROM session WHERE expires_ms <= ?').run(now);
    this.#database.prepare('INSERT INTO session (hash, name, expires_ms) VALUES (?, ?, ?)').run(digest(session), name, now + SESSION_MS);
    return { session, identity: { name, role: row.role }, maxAgeS: SESSION_MS / 1000 };
  }

  signOut(session: string): void {
    this.#database.prepare('DELETE FROM session WHERE hash = ?').run(digest(session));
  }

  bySession(session: string): Identity | null {
    const row = this.#database
      .prepare('SELECT user.name, user.role FROM session JOIN user ON user.name = session.name WHERE session.hash = ? AND session.expires_ms > ? AND user.disabled = 0')
      .get(digest(session), this.#clock.nowMs()) as Identity | undefined;
    return row ? { name: row.name, role: row.role } : null;
  }

  byToken(token: string): Identity | null {
    const row = this.#database.prepare('SELECT name, role FROM token WHERE hash = ?').get(digest(token)) as Identity | undefined;
    return row ? { name: row.name, role: row.role } : null;
  }
}

function newSecret(): string {
  return randomBytes(32).toString('base64url');
}

function digest(secret: string): string {
  return createHash('sha256').update(secret).digest('hex');
}
