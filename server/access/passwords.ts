import { randomBytes } from 'node:crypto';
import { hash, verify } from '@node-rs/argon2';
import { UserError } from '../../host/user-error.ts';

/** OWASP's minimum for argon2id: 19 MiB, two passes. */
const ARGON2ID = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;
const SHORTEST = 8;
const LONGEST = 200;
const PIN = /^\d{4,8}$/;
/** So many may be computed at once, and so many may wait: a flood of sign-ins must not take the machine. */
const AT_ONCE = 2;
const WAITING = 64;

/** Among the first that anybody tries (from memory); longer than the shortest that is taken. */
const TRIED_FIRST = new Set(
  'password password1 password12 password123 passw0rd 12345678 123456789 1234567890 87654321 qwertyui qwerty123 qwertyuiop 1q2w3e4r 1qaz2wsx iloveyou sunshine princess football baseball welcome1 welcome123 letmein1 trustno1 superman whatever computer internet samsung1 abc12345 abcd1234 admin123 administrator changeme changeme1 default1 potside1 potside123 compressor sandblast blasting1'.split(' '),
);

/** @throws UserError for one that is too short, too long or among the first tried */
export function checkPassword(password: string, name: string): void {
  if (password.length < SHORTEST) throw new UserError(`the password is too short: found ${password.length} characters, expected at least ${SHORTEST}`);
  if (password.length > LONGEST) throw new UserError(`the password is too long: found ${password.length} characters, expected at most ${LONGEST}`);
  const plain = password.toLowerCase();
  if (TRIED_FIRST.has(plain) || new Set(plain).size < 4 || plain.includes(name.toLowerCase())) throw new UserError('the password is among the first that anybody would try: choose another');
}

/** @throws UserError for what is no PIN, or one of a single digit or a plain row */
export function checkPin(pin: string): void {
  if (!PIN.test(pin)) throw new UserError('expected a PIN of 4 to 8 digits');
  const isRow = '0123456789012'.includes(pin) || '9876543210987'.includes(pin);
  if (new Set(pin).size === 1 || isRow) throw new UserError('the PIN is among the first that anybody would try: choose another');
}

export function hashSecret(secret: string): Promise<string> {
  return hash(secret, ARGON2ID);
}

/** Verified where there is nothing to verify, so that an unknown name takes as long as a wrong password. */
const nothing = hashSecret(randomBytes(16).toString('hex'));

let running = 0;
const queue: (() => void)[] = [];

/** True where the secret is the hashed one; null where too many are being verified. An empty hash fits nothing. */
export async function verifySecret(hashed: string | null | undefined, secret: string): Promise<boolean | null> {
  if (running >= AT_ONCE) {
    if (queue.length >= WAITING) return null;
    await new Promise<void>((go) => queue.push(go));
  }
  running += 1;
  try {
    const isRight = await verify(hashed ? hashed : await nothing, secret);
    return isRight && Boolean(hashed);
  } finally {
    running -= 1;
    queue.shift()?.();
  }
}
