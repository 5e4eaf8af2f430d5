import { createHash, randomBytes } from 'node:crypto';

/** 256 bits of chance, for cookies, tokens and links. Only its digest is kept. */
export function newSecret(): string {
  return randomBytes(32).toString('base64url');
}

/** Short and public: names a session, a screen or a link in lists. */
export function newId(): string {
  return randomBytes(9).toString('base64url');
}

export function digest(secret: string): string {
  return createHash('sha256').update(secret).digest('hex');
}
