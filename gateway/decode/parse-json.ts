import { quote, type Refused, refuse } from './decoded.ts';

/** Deeper than any sensor's payload. `JSON.parse` takes a million levels and the next `JSON.stringify` then dies of them. */
const MAX_DEPTH = 16;

export type ParsedJson = { readonly ok: true; readonly document: unknown } | Refused;

/** Parses JSON within a depth limit that is checked before parsing. */
export function parseJson(text: string): ParsedJson {
  if (depthOf(text) > MAX_DEPTH) return refuse('too-deep', `nested more than ${MAX_DEPTH} levels deep`);
  try {
    return { ok: true, document: JSON.parse(text) as unknown };
  } catch (error) {
    return refuse('not-json', `found ${quote(text)}: ${(error as Error).message.split('\n')[0] ?? ''}`);
  }
}

/** Deepest nesting of braces and brackets outside strings. */
function depthOf(text: string): number {
  let depth = 0;
  let deepest = 0;
  let inString = false;
  for (let index = 0; index < text.length; index += 1) {
    const code = text.charCodeAt(index);
    if (inString) {
      if (code === 0x5c) index += 1;
      else if (code === 0x22) inString = false;
    } else if (code === 0x22) inString = true;
    else if (code === 0x7b || code === 0x5b) deepest = Math.max(deepest, ++depth);
    else if (code === 0x7d || code === 0x5d) depth -= 1;
  }
  return deepest;
}
