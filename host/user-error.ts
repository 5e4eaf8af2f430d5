/** Something the person at the keyboard can put right: shown as its message alone, without a stack. */
export class UserError extends Error {
  override readonly name = 'UserError';
}
