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
  async issue(name: string, doer: Doer): Promise<{ readonly code: string; readonly untilMs: number }> {
    const { sql, clock } = this.#base;
    if (!(await this.#accounts.find(name))) throw new UserError(`there is nobody of the name ${JSON.stringify(name)} who may sign in`);
    const code = newCode();
    const untilMs = clock.nowMs() + HOLDS_MS;
    await write(this.#base, doer, { what: 'one-time-code-made', subject: name, new: { until: new Date(untilMs).toISOString() } }, () =>
      sql.run(
        'INSERT INTO one_time_code (name, hash, until_ms, tries_left) VALUES (?, ?, ?, ?) ON CONFLICT (name) DO UPDATE SET hash = excluded.hash, until_ms = excluded.until_ms, tries_left = excluded.tries_left',
        name, digest(plainCode(code)), untilMs, TRIES,
      ),
    );
    return { code, untilMs };
  }

  /** Uses one up for a new password; every session of this person ends. @throws UserError for a password that is not taken */
  async redeem(name: string, code: string, password: string, address: string): Promise<Redeemed> {
    const waitMs = this.#guard.waitMs(name, address);
    if (waitMs > 0) return { ok: false, why: 'wait', waitMs };
    if (!(await this.#isRight(name, code))) {
      this.#guard.failed(name, address);
      return { ok: false, why: 'wrong' };
    }
    const person = await this.#accounts.find(name);
    if (!person) return { ok: false, why: 'wrong' };
    // Refused before the code is used up.
    await this.#accounts.checkPasswordOf(name, password);
    const hash = await hashSecret(password);
    // Checked again: two may have come with the same code while the password was hashed.
    const ended = await write(this.#base, { by: name, role: person.role, address }, { what: 'one-time-code-used', subject: name }, async () => {
      const used = await this.#base.sql.run('DELETE FROM one_time_code WHERE name = ? AND hash = ?', name, digest(plainCode(code)));
      if (used === 0) throw new UserError('this code was just used');
      return this.#accounts.replaceHash(name, hash);
    });
    this.#base.ended(ended);
    return { ok: true };
  }

  async #isRight(name: string, code: string): Promise<boolean> {
    const { sql, clock } = this.#base;
    const held = await sql.get<Row>('SELECT hash, until_ms, tries_left FROM one_time_code WHERE name = ?', name);
    if (!held || held.until_ms <= clock.nowMs() || held.tries_left <= 0) return false;
    if (timingSafeEqual(Buffer.from(digest(plainCode(code))), Buffer.from(held.hash))) return true;
    await sql.run('UPDATE one_time_code SET tries_left = tries_left - 1 WHERE name = ?', name);
    return false;
  }
}
