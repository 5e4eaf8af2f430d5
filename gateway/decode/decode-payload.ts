import type { TopicTarget } from '../topic-map.ts';
import { decodeJson } from './decode-json.ts';
import { decodeNumber } from './decode-number.ts';
import { decodeSenml } from './decode-senml.ts';
import { type Decoded, quote, type Refused, refuse } from './decoded.ts';
import type { DecodedMessage } from './decoded-message.ts';
import { parseJson, type ParsedJson } from './parse-json.ts';
import { resolveSenml, type SenmlRecord } from './resolve-senml.ts';

/** The default form's object: value, UCUM unit, Unix seconds. */
const DEFAULT_OBJECT = { value: '/v', unit: '/u', time: '/t' };

/**
 * Decodes one message of text for each of the points its topic feeds. The one switch over payload forms: a new form is a file and a
 * line here. The document is parsed and resolved once however many values are taken from it.
 */
export function decodePayload(payload: Uint8Array, targets: readonly TopicTarget[]): DecodedMessage {
  const text = decodeText(payload);
  if (typeof text !== 'string') return { values: targets.map((target) => ({ target, decoded: text })) };
  const message = new TextMessage(text);
  const values = targets.flatMap((target) => message.decodeFor(target).map((decoded) => ({ target, decoded })));
  // A topic may carry the packs of many sensors; that one was for none of our points is worth knowing, and says nothing of them.
  if (values.length === 0) return { values, remarks: [refuse('value-missing', `no record is named ${targets.map(({ source }) => quote(source?.name ?? null)).join(' or ')}`)] };
  return { values };
}

function decodeText(payload: Uint8Array): string | Refused {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(payload);
  } catch {
    return refuse('not-text', `found ${payload.byteLength} bytes that are not UTF-8 text`);
  }
}

class TextMessage {
  readonly #text: string;
  #parsed: ParsedJson | undefined;
  #pack: readonly SenmlRecord[] | Refused | undefined;

  constructor(text: string) {
    this.#text = text;
  }

  decodeFor(target: TopicTarget): Decoded[] {
    const { source } = target;
    switch (source?.payload) {
      case 'number':
        return [decodeNumber(this.#text)];
      case 'json': {
        const json = this.#json();
        return [json.ok ? decodeJson(json.document, { value: source.value, time: source.time }) : json];
      }
      case 'senml': {
        const pack = this.#senml();
        return 'ok' in pack ? [pack] : decodeSenml(pack, target);
      }
      case 'sparkplug':
        // These have topics of their own and are decoded there.
        return [];
      case undefined: {
        if (this.#text.trim() === '') return [refuse('value-missing', `found ${quote(this.#text)}, expected a number`)];
        if (!this.#text.trimStart().startsWith('{')) return [decodeNumber(this.#text)];
        const json = this.#json();
        return [json.ok ? decodeJson(json.document, DEFAULT_OBJECT) : json];
      }
    }
  }

  #json(): ParsedJson {
    return (this.#parsed ??= parseJson(this.#text));
  }

  #senml(): readonly SenmlRecord[] | Refused {
    if (this.#pack) return this.#pack;
    const json = this.#json();
    return (this.#pack = json.ok ? resolveSenml(json.document) : json);
  }
}
