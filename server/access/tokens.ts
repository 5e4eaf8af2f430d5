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
  async add(name: string, role: string, scope: TokenScope = {}, doer: Doer = CONSOLE): Promise<string> {
    const { clock } = this.#base;
    checkName(name);
    const scoped = checkTokenRole(role);
    const sites = scope.sites ?? null;
    checkSites(sites);
    const now = clock.nowMs();
    const untilMs = scope.untilMs ?? now + USUAL_MS;
    if (untilMs <= now || untilMs > now + LONGEST_MS) throw new UserError(`the token's end is ${new Date(untilMs).toISOString()}: expected a time from now to a year from now`);
    if (await this.#base.sql.get('SELECT 1 FROM token WHERE name = ?', name)) throw new UserError(`there is already a token ${JSON.stringify(name)}`);
    const token = newSecret();
    await write(this.#base, doer, { what: 'token-made', subject: name, new: { role: scoped, sites, until: new Date(untilMs).toISOString() } }, () =>
      this.#base.sql.run('INSERT INTO token (hash, name, role, sites, until_ms, made_by, made_ms) VALUES (?, ?, ?, ?, ?, ?, ?)', digest(token), name, scoped, sitesText(sites), untilMs, doer.by, now),
    );
    return token;
  }

  async list(): Promise<Token[]> {
    return (await this.#base.sql.all<Row>('SELECT name, role, sites, until_ms, made_by FROM token ORDER BY name')).map(toToken);
  }

  /** False where there is none of this name. */
  async revoke(name: string, doer: Doer = CONSOLE): Promise<boolean> {
    if ((await this.#base.sql.get('SELECT 1 FROM token WHERE name = ?', name)) === undefined) return false;
    await write(this.#base, doer, { what: 'token-revoked', subject: name }, () => this.#base.sql.run('DELETE FROM token WHERE name = ?', name));
    this.#base.ended([keyOf(name)]);
    return true;
  }

  async identity(token: string): Promise<Identity | null> {
    const row = await this.#base.sql.get<Row>('SELECT name, role, sites, until_ms, made_by FROM token WHERE hash = ?', digest(token));
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
