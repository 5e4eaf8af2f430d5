import { timingSafeEqual } from 'node:crypto';
import { UserError } from '../../host/user-error.ts';
import { type AccessBase, write } from './access-store.ts';
import type { Accounts } from './accounts.ts';
import type { Doer } from './identity.ts';
import { hashSecret } from './passwords.ts';
import { newCode, plainCode } from './readable-code.ts';
import { digest } from './secret.ts';
import { SignInGuard } from './sign-in-guard.ts';

const HOLDS_MS = 24 * 3_600_000;
const TRIES = 10;

interface Row {
  readonly hash: string;
  readonly until_ms: number;
  readonly tries_left: number;
}

export type Redeemed = { readonly ok: true } | { readonly ok: false; readonly why: 'wrong' } | { readonly ok: false; readonly why: 'wait'; readonly waitMs: number };

/**
 * How somebody new, or who forgot, comes to a password that nobody else knows: an administrator makes a code and says it to them. It is
 * good once, for a day and for ten tries. Until it is used nothing changes: the old password goes on, so nobody is shut out by it.
 */
export class OneTimeCodes {
  readonly #base: AccessBase;
  readonly #accounts: Accounts;
  readonly #guard: SignInGuard;

  constructor(accounts: Accounts) {
    this.#accounts = accounts;
    this.#base = accounts.base;
    this.#guard = new SignInGuard(this.#base.clock);
  }

  /** Makes one, in place of an earlier one; it is told once. @throws UserError where nobody of this name may sign in */
  issue(name: string, doer: Doer): { readonly code: string; readonly untilMs: number } {
    const { database, clock } = this.#base;
    if (!this.#accounts.find(name)) throw new UserError(`there is nobody of the name ${JSON.stringify(name)} who may sign in`);
    const code = newCode();
    const untilMs = clock.nowMs() + HOLDS_MS;
    write(this.#base, doer, { what: 'one-time-code-made', subject: name, new: { until: new Date(untilMs).toISOString() } }, () =>
      database
        .prepare('INSERT INTO one_time_code (name, hash, until_ms, tries_left) VALUES (?, ?, ?, ?) ON CONFLICT (name) DO UPDATE SET hash = excluded.hash, until_ms = excluded.until_ms, tries_left = excluded.tries_left')
        .run(name, digest(plainCode(code)), untilMs, TRIES),
    );
    return { code, untilMs };
  }

  /** Uses one up for a new password; every session of this person ends. @throws UserError for a password that is not taken */
  async redeem(name: string, code: string, password: string, address: string): Promise<Redeemed> {
    const waitMs = this.#guard.waitMs(name, address);
    if (waitMs > 0) return { ok: false, why: 'wait', waitMs };
    if (!this.#isRight(name, code)) {
      this.#guard.failed(name, address);
      return { ok: false, why: 'wrong' };
    }
    const person = this.#accounts.find(name);
    if (!person) return { ok: false, why: 'wrong' };
    // Refused before the code is used up.
    this.#accounts.checkPasswordOf(name, password);
    const hash = await hashSecret(password);
    // Checked again: two may have come with the same code while the password was hashed.
    return write(this.#base, { by: name, role: person.role, address }, { what: 'one-time-code-used', subject: name }, () => {
      const used = this.#base.database.prepare('DELETE FROM one_time_code WHERE name = ? AND hash = ?').run(name, digest(plainCode(code)));
      if (used.changes === 0) throw new UserError('this code was just used');
      this.#accounts.replaceHash(name, hash);
      return { ok: true };
    });
  }

  #isRight(name: string, code: string): boolean {
    const { database, clock } = this.#base;
    const held = database.prepare('SELECT hash, until_ms, tries_left FROM one_time_code WHERE name = ?').get(name) as Row | undefined;
    if (!held || held.until_ms <= clock.nowMs() || held.tries_left <= 0) return false;
    if (timingSafeEqual(Buffer.from(digest(plainCode(code))), Buffer.from(held.hash))) return true;
    database.prepare('UPDATE one_time_code SET tries_left = tries_left - 1 WHERE name = ?').run(name);
    return false;
  }
}
