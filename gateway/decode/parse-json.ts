import { jsonDepth } from '../../host/json-depth.ts';
import { quote, type Refused, refuse } from './decoded.ts';

/** Deeper than any sensor's payload. `JSON.parse` takes a million levels and the next `JSON.stringify` then dies of them. */
const MAX_DEPTH = 16;

export type ParsedJson = { readonly ok: true; readonly document: unknown } | Refused;

/** Parses JSON within a depth limit that is checked before parsing. */
export function parseJson(text: string): ParsedJson {
  if (jsonDepth(text) > MAX_DEPTH) return refuse('too-deep', `nested more than ${MAX_DEPTH} levels deep`);
  try {
    return { ok: true, document: JSON.parse(text) as unknown };
  } catch (error) {
    return refuse('not-json', `found ${quote(text)}: ${(error as Error).message.split('\n')[0] ?? ''}`);
  }
}
