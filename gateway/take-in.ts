import { pointKey } from '../domain/points/reading.ts';
import type { Refusal, RefusalReason } from '../domain/wire/refusal.ts';
import { refuse } from './decode/decoded.ts';
import type { DecodedMessage } from './decode/decoded-message.ts';
import { decodePayload } from './decode/decode-payload.ts';
import { LIVE_MS, type TakenReading, toReading, withoutValue } from './to-reading.ts';
import type { TopicMap, TopicTarget } from './topic-map.ts';

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
  const { values, remarks = [] } = payload ? decodePayload(payload, targets) : tooLarge(message, targets);
  const readings: TakenReading[] = [];
  const refusals: Refusal[] = remarks.map(({ reason, detail }) => refusal(reason, detail));
  for (const { target, decoded } of values) {
    const taken = decoded.ok ? toReading(target, decoded, message.retained, receivedAtMs) : decoded;
    if ('quality' in taken) readings.push(taken);
    else {
      refusals.push(refusal(taken.reason, `${target.owner}/${target.point}: ${taken.detail}`));
      if (!message.retained) readings.push(withoutValue(target, 'undecodable', receivedAtMs));
    }
  }
  return { readings: markHistory(readings), refusals };
}

/** Of several values of one point in a message the newest is news and what is clearly older is history. */
function markHistory(readings: readonly TakenReading[]): readonly TakenReading[] {
  const newest = new Map<string, number>();
  for (const { owner, point, observedAtMs } of readings) newest.set(pointKey(owner, point), Math.max(observedAtMs, newest.get(pointKey(owner, point)) ?? 0));
  if (newest.size === readings.length) return readings;
  return readings.map((reading) => (reading.observedAtMs < (newest.get(pointKey(reading.owner, reading.point)) ?? 0) - LIVE_MS ? { ...reading, backlog: true } : reading));
}

function tooLarge({ payload }: Message, targets: readonly TopicTarget[]): DecodedMessage {
  const decoded = refuse('too-large', `found ${payload.byteLength} bytes, expected at most ${MAX_BYTES}`);
  return { values: targets.map((target) => ({ target, decoded })) };
}

/** The first bytes for a person to look at; what does not print is a dot. */
function sampleOf(payload: Uint8Array): string {
  return Buffer.from(payload.subarray(0, 120)).toString('latin1').replace(/[^\x20-\x7e]/g, '.');
}
