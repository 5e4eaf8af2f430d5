import { UserError } from '../../host/user-error.ts';
import { type AccessBase, checkName, checkSites, checkTokenRole, write } from './access-store.ts';
import { CONSOLE, type Doer, type Identity, parseSites, sitesText } from './identity.ts';
import type { Reach } from './reach.ts';
import type { Role } from './role.ts';
import { digest, newSecret } from './secret.ts';

/** What lasts longer is forgotten and found by somebody else. */
const LONGEST_MS = 366 * 86_400_000;
const USUAL_MS = 90 * 86_400_000;

export interface Token {
  readonly name: string;
  readonly role: Role;
  readonly sites: Reach;
  /** Null for one of the time before tokens had an end. */
  readonly untilMs: number | null;
  readonly madeBy: string | null;
}

export interface TokenScope {
  readonly sites?: Reach;
  /** Unix ms; without it 90 days from now. */
  readonly untilMs?: number | undefined;
}

interface Row {
  readonly name: string;
  readonly role: Role;
  readonly sites: string | null;
  readonly until_ms: number | null;
  readonly made_by: string | null;
}

/** Bearer tokens for programs: a role, sites and an end. */
export class Tokens {
  readonly #base: AccessBase;

  constructor(base: AccessBase) {
    this.#base = base;
  }

  /** Makes one; it is told once and kept as a digest. @throws UserError */
  add(name: string, role: string, scope: TokenScope = {}, doer: Doer = CONSOLE): string {
    const { database, clock } = this.#base;
    checkName(name);
    const scoped = checkTokenRole(role);
    const sites = scope.sites ?? null;
    checkSites(sites);
    const now = clock.nowMs();
    const untilMs = scope.untilMs ?? now + USUAL_MS;
    if (untilMs <= now || untilMs > now + LONGEST_MS) throw new UserError(`the token's end is ${new Date(untilMs).toISOString()}: expected a time from now to a year from now`);
    if (database.prepare('SELECT 1 FROM token WHERE name = ?').get(name)) throw new UserError(`there is already a token ${JSON.stringify(name)}`);
    const token = newSecret();
    write(this.#base, doer, { what: 'token-made', subject: name, new: { role: scoped, sites, until: new Date(untilMs).toISOString() } }, () =>
      database.prepare('INSERT INTO token (hash, name, role, sites, until_ms, made_by, made_ms) VALUES (?, ?, ?, ?, ?, ?, ?)').run(digest(token), name, scoped, sitesText(sites), untilMs, doer.by, now),
    );
    return token;
  }

  list(): Token[] {
    return (this.#base.database.prepare('SELECT name, role, sites, until_ms, made_by FROM token ORDER BY name').all() as Row[]).map(toToken);
  }

  /** False where there is none of this name. */
  revoke(name: string, doer: Doer = CONSOLE): boolean {
    if (!this.#base.database.prepare('SELECT 1 FROM token WHERE name = ?').get(name)) return false;
    write(this.#base, doer, { what: 'token-revoked', subject: name }, () => this.#base.database.prepare('DELETE FROM token WHERE name = ?').run(name));
    this.#base.ended([keyOf(name)]);
    return true;
  }

  identity(token: string): Identity | null {
    const row = this.#base.database.prepare('SELECT name, role, sites, until_ms, made_by FROM token WHERE hash = ?').get(digest(token)) as Row | undefined;
    if (!row) return null;
    const { name, role, sites, untilMs } = toToken(row);
    if (untilMs !== null && untilMs <= this.#base.clock.nowMs()) return null;
    return { name, role, sites, key: keyOf(name), way: 'token', untilMs };
  }
}

function toToken({ name, role, sites, until_ms: untilMs, made_by: madeBy }: Row): Token {
  return { name, role, sites: parseSites(sites), untilMs, madeBy };
}

function keyOf(name: string): string {
  return `token ${name}`;
}
