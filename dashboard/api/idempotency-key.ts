/** Marks one order, so that one sent twice is done once. `crypto.randomUUID` is missing on a site's plain HTTP; this is not. */
export function idempotencyKey(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
