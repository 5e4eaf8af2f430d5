import { timingSafeEqual } from 'node:crypto';
import { UserError } from '../../host/user-error.ts';
import type { Accounts } from './accounts.ts';
import { newCode, plainCode } from './readable-code.ts';
import { digest } from './secret.ts';

const TRIES = 10;

/**
 * The way in while there is nobody: a one-time code, new at each start, told on the console only. It is void once anybody exists, and
 * after ten wrong ones until the next start. No account and no password is there by default.
 */
export class FirstAdministrator {
  /** Null where there is somebody already. */
  readonly code: string | null;
  readonly #accounts: Accounts;
  #left = TRIES;

  private constructor(accounts: Accounts, code: string | null) {
    this.#accounts = accounts;
    this.code = code;
  }

  static async open(accounts: Accounts): Promise<FirstAdministrator> {
    return new FirstAdministrator(accounts, (await accounts.users()).length > 0 ? null : newCode());
  }

  async isOpen(): Promise<boolean> {
    return this.code !== null && this.#left > 0 && (await this.#accounts.users()).length === 0;
  }

  /** True for the right code, while the way is open. */
  async check(said: string): Promise<boolean> {
    if (this.code === null || !(await this.isOpen())) return false;
    const isRight = timingSafeEqual(Buffer.from(digest(plainCode(said))), Buffer.from(digest(plainCode(this.code))));
    if (!isRight) this.#left -= 1;
    return isRight;
  }

  /** Makes the first administrator. @throws UserError for a bad name or password, or where somebody was first */
  async make(name: string, password: string, address: string): Promise<void> {
    if (!(await this.isOpen())) throw new UserError('there is somebody already who may sign in');
    if (password === '') throw new UserError('expected a password');
    await this.#accounts.addUser(name, 'administrator', password, { doer: { by: 'one-time code', role: 'administrator', address } });
  }
}
