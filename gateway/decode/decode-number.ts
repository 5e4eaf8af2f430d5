import { type Decoded, quote, refuse } from './decoded.ts';

const NUMBER = /^\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*$/;

/** Payload form `number`: the decimal number alone, as text. */
export function decodeNumber(text: string): Decoded {
  if (!NUMBER.test(text)) return refuse('not-a-number', `found ${quote(text)}, expected a decimal number such as 96.4`);
  const value = Number(text);
  if (!Number.isFinite(value)) return refuse('not-finite', `found ${quote(text.trim())}, which is beyond what a number can hold`);
  return { ok: true, value, unit: null, atSeconds: null };
}
