import { createHash } from 'node:crypto';

/** JSON with keys in order and no spaces: the same value always gives the same bytes. */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_key, held: unknown) =>
    held !== null && typeof held === 'object' && !Array.isArray(held) ? Object.fromEntries(Object.entries(held).sort(([a], [b]) => (a < b ? -1 : 1))) : held,
  );
}

/** SHA-256 of the canonical JSON, in hex: names a version of a configuration. */
export function hashOf(value: unknown): string {
  return createHash('sha256').update(canonicalJson(value)).digest('hex');
}
