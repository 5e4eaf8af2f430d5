import type { AuditTrail } from '../audit/audit-trail.ts';
import type { Accounts, Credentials } from './accounts.ts';
import type { AccessBase } from './access-store.ts';
import { both } from './identity.ts';
import { verifySecret } from './passwords.ts';
import type { Role } from './role.ts';
import type { Screen } from './screens.ts';
import { digest, newSecret } from './secret.ts';
import { SignInGuard } from './sign-in-guard.ts';
import { checkTotp } from './totp.ts';

/** A browser on which somebody signed in is known for so long. */
const KNOWN_MS = 180 * 86_400_000;

export interface Caller {
  readonly address: string;
  readonly agent: string;
  /** Secret of the browser's own cookie; null for one never seen. */
  readonly browser: string | null;
  /** The device at a rig that asks; null for any other browser. */
  readonly device: Screen | null;
}

export interface Said {
  readonly name: string;
  readonly password?: string | undefined;
  readonly pin?: string | undefined;
  readonly code?: string | undefined;
}

export type SignInResult =
  | { readonly ok: true; readonly secret: string; readonly maxAgeS: number; readonly browser: string; readonly role: Role; readonly watchOnly: boolean }
  | { readonly ok: false; readonly why: 'wrong' | 'code-needed' | 'busy' }
  | { readonly ok: false; readonly why: 'wait'; readonly waitMs: number };

/**
 * Checks who somebody is and opens a session. Guessing is slowed down by account and address; a browser on which this person signed in
 * before is not held up by others' guesses. An account that is tried from many addresses stays open to look: the right password from an
 * unknown browser then gives a session that only watches (decision 0016).
 */
export class SignIn {
  readonly #accounts: Accounts;
  readonly #base: AccessBase;
  readonly #trail: AuditTrail;
  readonly #guard: SignInGuard;

  constructor(accounts: Accounts) {
    this.#accounts = accounts;
    this.#base = accounts.base;
    this.#trail = accounts.trail;
    this.#guard = new SignInGuard(this.#base.clock);
  }

  async try(said: Said, caller: Caller): Promise<SignInResult> {
    const isKnown = await this.#isKnown(said.name, caller.browser);
    // A known browser is held up by its own guesses only.
    const place = isKnown ? `known ${digest(caller.browser ?? '')}` : caller.address;
    const waitMs = this.#guard.waitMs(said.name, place);
    if (waitMs > 0) return { ok: false, why: 'wait', waitMs };
    const person = await this.#accounts.find(said.name);
    const right = said.pin === undefined ? await verifySecret(person?.hash, said.password ?? '') : await verifySecret(caller.device ? person?.pin : null, said.pin);
    if (right === null) return { ok: false, why: 'busy' };
    if (!right || !person) return this.#refuse(said.name, place, caller, said.pin === undefined ? 'wrong name or password' : 'wrong name or PIN');
    if (said.pin === undefined && person.totp !== null) {
      if (said.code === undefined) return { ok: false, why: 'code-needed' };
      const step = checkTotp(person.totp, said.code, this.#base.clock.nowMs(), person.totpStep);
      if (step === null) return this.#refuse(said.name, place, caller, 'wrong code');
      await this.#accounts.noteTotpStep(person.name, step);
    }
    const watchOnly = !isKnown && said.pin === undefined && this.#guard.isAttacked(said.name);
    this.#guard.succeeded(said.name, place);
    return this.open(person, caller, said.pin === undefined ? 'password' : 'pin', watchOnly);
  }

  /** Opens a session for who was checked elsewhere or just now. */
  async open(person: Credentials, caller: Caller, way: 'password' | 'pin' | 'open-id', watchOnly = false): Promise<Extract<SignInResult, { ok: true }>> {
    const { sql, clock, trail } = this.#base;
    // A PIN is worth less than a password: whoever it belongs to, it makes a tender.
    const cap: Role | null = watchOnly || (way === 'pin' && person.role === 'viewer') ? 'viewer' : way === 'pin' ? 'tender' : null;
    const browser = caller.browser ?? newSecret();
    const { secret, maxAgeS } = await sql.transaction(async () => {
      const opened = await this.#accounts.sessions.open({ name: person.name, way, cap, device: way === 'pin' ? (caller.device?.id ?? null) : null, address: caller.address, agent: caller.agent });
      // Only who showed a full credential makes a browser known.
      if (way !== 'pin' && !watchOnly) await this.#know(person.name, browser);
      await trail.add({ atMs: clock.nowMs(), by: person.name, role: cap ?? person.role, address: caller.address, what: 'signed-in', subject: person.name, new: { way, watchOnly, device: caller.device?.name ?? null }, site: way === 'pin' ? (caller.device?.site ?? null) : null });
      return opened;
    });
    return { ok: true, secret, maxAgeS, browser, role: cap ?? person.role, watchOnly };
  }

  /** True where this person's sites and the device's have anything in common. */
  async mayUse(device: Screen, name: string): Promise<boolean> {
    const person = await this.#accounts.find(name);
    return person !== null && both(person.sites, [device.site])?.length !== 0;
  }

  async #refuse(name: string, place: string, caller: Caller, why: string): Promise<SignInResult> {
    this.#guard.failed(name, place);
    const known = (await this.#accounts.find(name)) !== null;
    // What is no account's name may be a password typed into the wrong field.
    const deed = { atMs: this.#base.clock.nowMs(), by: known ? name : 'unknown', role: '', address: caller.address, what: 'sign-in-refused', subject: known ? name : null, why };
    await this.#trail.add(deed);
    return { ok: false, why: 'wrong' };
  }

  async #isKnown(name: string, browser: string | null): Promise<boolean> {
    if (browser === null) return false;
    return (await this.#base.sql.get('SELECT 1 FROM known_browser WHERE hash = ? AND name = ? AND until_ms > ?', digest(browser), name, this.#base.clock.nowMs())) !== undefined;
  }

  async #know(name: string, browser: string): Promise<void> {
    const now = this.#base.clock.nowMs();
    await this.#base.sql.run('DELETE FROM known_browser WHERE until_ms <= ?', now);
    await this.#base.sql.run('INSERT INTO known_browser (hash, name, until_ms) VALUES (?, ?, ?) ON CONFLICT (hash, name) DO UPDATE SET until_ms = excluded.until_ms', digest(browser), name, now + KNOWN_MS);
  }
}
