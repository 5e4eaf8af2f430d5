import type { PayloadForm } from '../domain/shift/site-config.ts';

/** What a payload looks like to somebody who sets up a site; a guess, from its first bytes and its topic. */
export function guessForm(topic: string, payload: Uint8Array): PayloadForm | 'other' {
  if (topic.startsWith('spBv1.0/')) return 'sparkplug';
  if (payload.byteLength > 64 * 1024) return 'other';
  const text = Buffer.from(payload).toString('utf8').trim();
  if (text !== '' && Number.isFinite(Number(text))) return 'number';
  if (!/^[[{"]/.test(text)) return 'other';
  try {
    const found: unknown = JSON.parse(text);
    return Array.isArray(found) && found.every(isSenmlRecord) ? 'senml' : 'json';
  } catch {
    return 'other';
  }
}

/** A record of RFC 8428 has a name or a base name, or a value under one of its keys. */
function isSenmlRecord(record: unknown): boolean {
  return typeof record === 'object' && record !== null && ['n', 'bn', 'v', 'bv', 'vs', 'vb', 'vd'].some((key) => Object.hasOwn(record, key));
}
