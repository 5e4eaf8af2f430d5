import type { Clock } from '../../host/clock.ts';
import type { Sql } from '../../host/sql.ts';
import { UserError } from '../../host/user-error.ts';
import { AuditTrail } from '../audit/audit-trail.ts';
import { type AccessBase, checkName, checkRole, checkSites, write } from './access-store.ts';
import { CONSOLE, type Doer, parseSites, sitesText } from './identity.ts';
import { checkPassword, checkPin, hashSecret } from './passwords.ts';
import type { Reach } from './reach.ts';
import type { Role } from './role.ts';
import { OneTimeCodes } from './one-time-codes.ts';
import { Screens } from './screens.ts';
import { Sessions } from './sessions.ts';
import { Tokens } from './tokens.ts';
import { newTotp } from './totp.ts';

/** A person who may sign in. */
export interface Person {
  readonly name: string;
  readonly role: Role;
  readonly sites: Reach;
  readonly disabled: boolean;
  readonly hasPassword: boolean;
  readonly hasPin: boolean;
  readonly hasTotp: boolean;
}

/** What signing in needs to know of a person. */
export interface Credentials {
  readonly name: string;
  readonly role: Role;
  readonly sites: Reach;
  readonly hash: string;
  readonly pin: string | null;
  readonly totp: string | null;
  readonly totpStep: number | null;
}

interface Row {
  readonly name: string;
  readonly role: Role;
  readonly hash: string;
  readonly disabled: number;
  readonly sites: string | null;
  readonly pin: string | null;
  readonly totp: string | null;
  readonly totp_step: number | null;
}

/** People, and with them sessions, tokens and screens. Only hashes of secrets are kept, except the key of a second factor. */
export class Accounts {
  readonly sessions: Sessions;
  readonly tokens: Tokens;
  readonly screens: Screens;
  readonly codes: OneTimeCodes;
  readonly trail: AuditTrail;
  readonly #base: AccessBase;
  readonly #listeners = new Set<(keys: readonly string[]) => void>();

  constructor(sql: Sql, clock: Clock) {
    this.trail = new AuditTrail(sql);
    this.#base = { sql, clock, trail: this.trail, ended: (keys) => this.#listeners.forEach((listener) => listener(keys)) };
    this.sessions = new Sessions(this.#base);
    this.tokens = new Tokens(this.#base);
    this.screens = new Screens(this.#base, this.sessions);
    this.codes = new OneTimeCodes(this);
  }

  get base(): AccessBase {
    return this.#base;
  }

  /** Told the keys of what ends, at once; answers with how to stop listening. */
  onEnded(listener: (keys: readonly string[]) => void): () => void {
    this.#listeners.add(listener);
    return () => void this.#listeners.delete(listener);
  }

  /** Adds a person, or gives one a new role, sites and password and enables them. An empty password: none. @throws UserError */
  async addUser(name: string, role: string, password: string, { sites = null, doer = CONSOLE }: { sites?: Reach; doer?: Doer } = {}): Promise<void> {
    checkName(name);
    const checked = checkRole(role);
    checkSites(sites);
    if (password !== '') checkPassword(password, name);
    const hash = password === '' ? '' : await hashSecret(password);
    const old = (await this.users()).find((one) => one.name === name);
    const ended = await write(this.#base, doer, { what: old ? 'person-changed' : 'person-added', subject: name, old: old ?? null, new: { role: checked, sites, password: password === '' ? 'none' : 'new' } }, async () => {
      await this.#base.sql.run('INSERT INTO "user" (name, role, hash, sites) VALUES (?, ?, ?, ?) ON CONFLICT (name) DO UPDATE SET role = excluded.role, hash = excluded.hash, sites = excluded.sites, disabled = 0', name, checked, hash, sitesText(sites));
      return this.sessions.endAllOf('name', name);
    });
    this.#base.ended(ended);
  }

  async users(): Promise<Person[]> {
    return (await this.#base.sql.all<Row>('SELECT * FROM "user" ORDER BY name')).map((row) => ({
      name: row.name, role: row.role, sites: parseSites(row.sites), disabled: row.disabled === 1, hasPassword: row.hash !== '', hasPin: row.pin !== null, hasTotp: row.totp !== null,
    }));
  }

  async find(name: string): Promise<Credentials | null> {
    const row = await this.#base.sql.get<Row>('SELECT * FROM "user" WHERE name = ? AND disabled = 0', name);
    return row ? { name: row.name, role: row.role, sites: parseSites(row.sites), hash: row.hash, pin: row.pin, totp: row.totp, totpStep: row.totp_step } : null;
  }

  /** Another role, other sites, disabled or not; ends their sessions. @throws UserError where nobody is of this name, or no administrator would be left */
  async change(name: string, to: { readonly role?: string | undefined; readonly sites?: Reach | undefined; readonly disabled?: boolean | undefined }, doer: Doer = CONSOLE): Promise<void> {
    const ended = await this.#base.sql.transaction(async () => {
      // Two administrators must not take each other's role away at the same moment.
      await this.#base.sql.lock('"user"');
      const old = await this.#need(name);
      const role = to.role === undefined ? old.role : checkRole(to.role);
      const sites = to.sites === undefined ? old.sites : to.sites;
      checkSites(sites);
      const disabled = to.disabled ?? old.disabled;
      const isLast = old.role === 'administrator' && !old.disabled && !(await this.users()).some((one) => one.role === 'administrator' && !one.disabled && one.name !== name);
      if (isLast && (role !== 'administrator' || disabled || sites !== null)) throw new UserError(`${JSON.stringify(name)} is the only administrator of all sites: name another one first`);
      return write(this.#base, doer, { what: disabled && !old.disabled ? 'person-disabled' : 'person-changed', subject: name, old: { role: old.role, sites: old.sites, disabled: old.disabled }, new: { role, sites, disabled } }, async () => {
        await this.#base.sql.run('UPDATE "user" SET role = ?, sites = ?, disabled = ? WHERE name = ?', role, sitesText(sites), disabled ? 1 : 0, name);
        return this.sessions.endAllOf('name', name);
      });
    });
    this.#base.ended(ended);
  }

  /** Ends a person's sessions and refuses new ones; on the console the last administrator's too. @throws UserError */
  async disableUser(name: string, doer: Doer = CONSOLE): Promise<void> {
    await this.#need(name);
    const ended = await write(this.#base, doer, { what: 'person-disabled', subject: name }, async () => {
      await this.#base.sql.run('UPDATE "user" SET disabled = 1 WHERE name = ?', name);
      return this.sessions.endAllOf('name', name);
    });
    this.#base.ended(ended);
  }

  /** A new password; ends the other sessions of this person, not the one that asks. @throws UserError */
  async setPassword(name: string, password: string, doer: Doer, exceptKey: string | null): Promise<void> {
    await this.checkPasswordOf(name, password);
    const hash = await hashSecret(password);
    const ended = await write(this.#base, doer, { what: 'password-changed', subject: name }, async () => {
      await this.#base.sql.run('UPDATE "user" SET hash = ? WHERE name = ?', hash, name);
      return this.sessions.endAllOf('name', name, exceptKey);
    });
    this.#base.ended(ended);
  }

  /** @throws UserError where nobody is of this name, or the password is not taken */
  async checkPasswordOf(name: string, password: string): Promise<void> {
    await this.#need(name);
    checkPassword(password, name);
  }

  /** Within the caller's transaction, which tells of it; answers with the keys of the sessions that end, to be told of after it. */
  async replaceHash(name: string, hash: string): Promise<string[]> {
    await this.#base.sql.run('UPDATE "user" SET hash = ? WHERE name = ?', hash, name);
    return this.sessions.endAllOf('name', name);
  }

  /** The PIN for devices at the rig; null takes it away. @throws UserError */
  async setPin(name: string, pin: string | null, doer: Doer = CONSOLE): Promise<void> {
    await this.#need(name);
    if (pin !== null) checkPin(pin);
    const hash = pin === null ? null : await hashSecret(pin);
    await write(this.#base, doer, { what: pin === null ? 'pin-removed' : 'pin-set', subject: name }, () => this.#base.sql.run('UPDATE "user" SET pin = ? WHERE name = ?', hash, name));
  }

  /** A key for an authenticator app, not yet in force: `setTotp` is, once a code of it was seen. */
  offerTotp(name: string): { secret: string; uri: string } {
    return newTotp(name);
  }

  /** The second factor; null takes it away. @throws UserError */
  async setTotp(name: string, secret: string | null, step: number | null, doer: Doer = CONSOLE): Promise<void> {
    await this.#need(name);
    await write(this.#base, doer, { what: secret === null ? 'second-factor-removed' : 'second-factor-set', subject: name }, () =>
      this.#base.sql.run('UPDATE "user" SET totp = ?, totp_step = ? WHERE name = ?', secret, step, name),
    );
  }

  /** A code is good once. */
  async noteTotpStep(name: string, step: number): Promise<void> {
    await this.#base.sql.run('UPDATE "user" SET totp_step = ? WHERE name = ?', step, name);
  }

  async bySubject(subject: string): Promise<Credentials | null> {
    const row = await this.#base.sql.get<{ name: string }>('SELECT name FROM "user" WHERE subject = ?', subject);
    return row ? this.find(row.name) : null;
  }

  /** Ties a person to who the company's sign-in says they are. */
  async setSubject(name: string, subject: string): Promise<void> {
    await this.#base.sql.run('UPDATE "user" SET subject = ? WHERE name = ?', subject, name);
  }

  async #need(name: string): Promise<Person> {
    const person = (await this.users()).find((one) => one.name === name);
    if (!person) throw new UserError(`there is no user ${JSON.stringify(name)}`);
    return person;
  }
}
