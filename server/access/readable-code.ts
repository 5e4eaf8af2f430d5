import { randomInt } from 'node:crypto';

/** Without what is read as something else. */
const LETTERS = 'ABCDEFGHJKMNPQRSTUVWXYZ23456789';

/** A code to be read out and typed: twelve letters in three groups, 59 bits of chance. */
export function newCode(): string {
  const letters = Array.from({ length: 12 }, () => LETTERS[randomInt(LETTERS.length)] ?? 'A');
  return [0, 4, 8].map((at) => letters.slice(at, at + 4).join('')).join('-');
}

/** As it was meant, however it was typed. */
export function plainCode(code: string): string {
  return code.toUpperCase().replace(/[^A-Z0-9]/g, '');
}
