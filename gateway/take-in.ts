import type { Refusal, RefusalReason } from '../domain/wire/refusal.ts';
import { type Decoded, refuse } from './decode/decoded.ts';
import { decodePayload } from './decode/decode-payload.ts';
import { type TakenReading, toReading, withoutValue } from './to-reading.ts';
import type { TopicMap } from './topic-map.ts';

/** A message as the broker handed it over. */
export interface Message {
  readonly topic: string;
  readonly payload: Uint8Array;
  /** True where a broker had stored it: it is history, however new it looks. */
  readonly retained: boolean;
}

export interface TakenIn {
  readonly readings: readonly TakenReading[];
  readonly refusals: readonly Refusal[];
}

/** Larger than any sensor's message; checked before anything is parsed. */
const MAX_BYTES = 64 * 1024;

/**
 * Turns a message into readings. Pure. What can't be used is set aside with a reason, and on a known topic also becomes a reading
 * without value: a sensor that talks nonsense is not silent, and its last good value must not stand for it.
 */
export function takeIn(topics: TopicMap, message: Message, receivedAtMs: number): TakenIn {
  const targets = topics.targets(message.topic);
  const refusal = (reason: RefusalReason, detail: string): Refusal => ({ atMs: receivedAtMs, topic: message.topic.slice(0, 256), reason, detail, sample: sampleOf(message.payload), bytes: message.payload.byteLength });
  if (targets.length === 0) return { readings: [], refusals: [refusal('unknown-topic', 'no point is mapped to this topic and it is not potside/<site>/<owner>/<point>')] };
  const payload = message.payload.byteLength > MAX_BYTES ? null : message.payload;
  const decoded = payload ? decodePayload(payload, targets) : targets.map((): Decoded => refuse('too-large', `found ${message.payload.byteLength} bytes, expected at most ${MAX_BYTES}`));
  const readings: TakenReading[] = [];
  const refusals: Refusal[] = [];
  targets.forEach((target, index) => {
    const value = decoded[index];
    if (!value) return;
    const taken = value.ok ? toReading(target, value, message.retained, receivedAtMs) : value;
    if ('quality' in taken) readings.push(taken);
    else {
      refusals.push(refusal(taken.reason, `${target.owner}/${target.point}: ${taken.detail}`));
      if (!message.retained) readings.push(withoutValue(target, 'undecodable', receivedAtMs));
    }
  });
  return { readings, refusals };
}

/** The first bytes for a person to look at; what does not print is a dot. */
function sampleOf(payload: Uint8Array): string {
  return Buffer.from(payload.subarray(0, 120)).toString('latin1').replace(/[^\x20-\x7e]/g, '.');
}
