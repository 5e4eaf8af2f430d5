import type { Message } from '../../../gateway/take-in.ts';
import { encode } from './foreign-encoder.ts';

type Random = () => number;

/** Sound messages, each for topics that begin so: from these a flipped bit lands deep in a decoder rather than at its door. */
const SOUND: readonly { readonly topic: string; readonly payload: Buffer }[] = [
  ...text('fuzz/number', '12.5', '-1e3'),
  ...text('fuzz/loop', '20.7', '3.9'),
  ...text('potside/', '12.5', '{"v":96.4,"u":"[ppm]","t":1764061250.5}', '{"v":0.5,"u":"%"}', '{"v":96.4,"t":"now"}'),
  ...text('fuzz/json', '{"a":[{"v":104.2}],"t":1764061250}', '{"v":96.4,"a":[{"v":104.2}]}'),
  ...text('fuzz/senml', '[{"bn":"rig-b:","bt":1764061200,"bu":"Pa","n":"x","v":689476},{"n":"x","t":1,"v":690000},{"n":"on","u":"count","vb":true}]', '[{"n":"rig-b:x","u":"Pa","t":-2,"v":1e5},{"n":"rig-b:on","vb":false}]'),
  ...sparkplug('N', { timestamp: 1764061250000, seq: 0, metrics: [{ name: 'bdSeq', datatype: 4, long_value: 1 }, { name: 'x', alias: 1, timestamp: 1764061250000, datatype: 10, double_value: 96.5 }] }),
  ...sparkplug('D', { seq: 1, metrics: [{ alias: 1, name: 'x', timestamp: 1764061250500, datatype: 10, double_value: 97 }] }),
  ...sparkplug('N', { seq: 2, metrics: [{ name: 'x', datatype: 3, int_value: 0xffffffff, properties: { keys: ['Quality'], values: [{ type: 3, int_value: 192 }] } }] }),
  ...sparkplug('D', { seq: 3, metrics: [{ name: 'x', datatype: 4, long_value: '18446744073709551615' }, { name: 't', template_value: { metrics: [{ name: 'y' }] } }] }),
  ...sparkplug('N', { metrics: [{ name: 'bdSeq', datatype: 4, long_value: 1 }] }),
];

function text(topic: string, ...payloads: readonly string[]): { topic: string; payload: Buffer }[] {
  return payloads.map((payload) => ({ topic, payload: Buffer.from(payload) }));
}

function sparkplug(kind: string, payload: Parameters<typeof encode>[0]): { topic: string; payload: Buffer }[] {
  return [{ topic: `spBv1.0/fuzz/${kind}`, payload: Buffer.from(encode(payload)) }];
}

/** Pieces that have broken parsers before. */
const PIECES = ['1e999', '-1e999', '1.7e308', 'NaN', 'null', 'true', '""', '{}', '[]', '"__proto__":{"v":1},', '"constructor":1,', '"t":1e308,', '"t":-1e308,', '"t":"now",', '"bt":1e308,', '"bver":11,', '"u":"lon",', '"u":5,', '\\u0000', '\u0000', '\ufeff', '\ud800', '9'.repeat(400), '['.repeat(40), '{"v":'.repeat(20)].map((text) => Buffer.from(text));

/** One message for one of the topics, most nearly right, some plain noise, some huge. */
export function makeMessage(random: Random, topics: readonly string[]): Message {
  const sound = pick(random, SOUND);
  const fitting = random() < 0.7 ? topics.filter((topic) => topic.startsWith(sound.topic)) : topics;
  return { topic: spoil(random, pick(random, fitting)), payload: makePayload(random, sound.payload), retained: random() < 0.1 };
}

function spoil(random: Random, topic: string): string {
  if (random() > 0.05) return topic;
  const at = below(random, topic.length);
  return topic.slice(0, at) + pick(random, ['/', '//', '+', '#', '\u0000', '__proto__', '/x'.repeat(2000), '🜁']) + topic.slice(at);
}

function makePayload(random: Random, sound: Buffer): Uint8Array {
  const kind = random();
  if (kind < 0.3) return sound;
  if (kind < 0.85) {
    let payload = sound;
    for (let changes = 1 + below(random, 4); changes > 0; changes -= 1) payload = change(random, payload);
    return payload;
  }
  if (kind < 0.998) return Uint8Array.from({ length: below(random, 120) }, () => below(random, 256));
  return huge(random);
}

function change(random: Random, payload: Buffer): Buffer {
  const at = below(random, payload.length + 1);
  switch (below(random, 6)) {
    case 0: {
      const flipped = Buffer.from(payload);
      if (at < flipped.length) flipped[at] = (flipped[at] ?? 0) ^ (1 << below(random, 8));
      return flipped;
    }
    case 1:
      return payload.subarray(0, at);
    case 2:
      return Buffer.concat([payload.subarray(0, at), payload.subarray(at + 1 + below(random, 6))]);
    case 3:
      return Buffer.concat([payload.subarray(0, at), pick(random, PIECES), payload.subarray(at)]);
    case 4:
      return Buffer.concat([payload.subarray(0, at), pick(random, SOUND).payload, payload.subarray(at)]);
    default:
      return Buffer.concat([payload, payload.subarray(at)]);
  }
}

/** The largest that is let in, and one larger, of what costs most: deep, long, or many. */
function huge(random: Random): Buffer {
  const unit = pick(random, ['[', '{"a":', '{"n":"rig-b:x","v":1},', ' ', '9', '"', '{', '\u0012\u0000', '\u0012\u0004\u0092\u0001\u0001', '\u0012\u0002J\u0000']);
  const filled = Buffer.alloc(64 * 1024 + below(random, 2), unit, 'latin1');
  if (unit.startsWith('{"n"')) return Buffer.concat([Buffer.from('['), filled.subarray(0, 22 * 2900), Buffer.from('{"n":"rig-b:x","v":2}]')]);
  return filled;
}

function pick<T>(random: Random, from: readonly T[]): T {
  const picked = from[below(random, from.length)];
  if (picked === undefined) throw new Error('nothing to pick from');
  return picked;
}

function below(random: Random, limit: number): number {
  return Math.floor(random() * limit);
}
