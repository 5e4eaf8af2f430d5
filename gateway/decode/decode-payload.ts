import type { TopicTarget } from '../topic-map.ts';
import { decodeJson } from './decode-json.ts';
import { decodeNumber } from './decode-number.ts';
import { type Decoded, quote, refuse } from './decoded.ts';
import { type ParsedJson, parseJson } from './parse-json.ts';

/** The default form's object: value, UCUM unit, Unix seconds. */
const DEFAULT_OBJECT = { value: '/v', unit: '/u', time: '/t' };

/**
 * Decodes one message for each of the points its topic feeds. The one switch over payload forms: a new form is a file and a line here.
 * The document is parsed once however many values are taken from it.
 */
export function decodePayload(payload: Uint8Array, targets: readonly TopicTarget[]): Decoded[] {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(payload);
  } catch {
    return targets.map(() => refuse('not-text', `found ${payload.byteLength} bytes that are not UTF-8 text`));
  }
  let parsed: ParsedJson | undefined;
  const document = (): ParsedJson => (parsed ??= parseJson(text));
  return targets.map((target) => decodeFor(target, text, document));
}

function decodeFor({ source }: TopicTarget, text: string, document: () => ParsedJson): Decoded {
  switch (source?.payload) {
    case 'number':
      return decodeNumber(text);
    case 'json': {
      const json = document();
      return json.ok ? decodeJson(json.document, { value: source.value, time: source.time }) : json;
    }
    case undefined: {
      if (!text.trimStart().startsWith('{')) return text.trim() === '' ? refuse('value-missing', `found ${quote(text)}, expected a number`) : decodeNumber(text);
      const json = document();
      return json.ok ? decodeJson(json.document, DEFAULT_OBJECT) : json;
    }
  }
}
