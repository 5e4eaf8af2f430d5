import { pointKey } from '../domain/points/reading.ts';
import type { Refusal, RefusalReason } from '../domain/wire/refusal.ts';
import { refuse } from './decode/decoded.ts';
import type { Command, DecodedMessage } from './decode/decoded-message.ts';
import { decodePayload } from './decode/decode-payload.ts';
import { decodeSparkplug } from './decode/sparkplug/decode-sparkplug.ts';
import { IntakeMemory } from './intake-memory.ts';
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
  /** To be published in answer. */
  readonly commands: readonly Command[];
}

/** Larger than any sensor's message; checked before anything is parsed. */
const MAX_BYTES = 64 * 1024;

/**
 * Turns a message into readings. What can't be used is set aside with a reason, and on a known topic also becomes a reading without
 * value: a sensor that talks nonsense is not silent, and its last good value must not stand for it.
 * Pure but for what `memory` knows of Sparkplug's edge nodes; without one every message stands alone. What is on its way to
 * the disk is for the caller to add to `memory.seen`.
 */
export function takeIn(topics: TopicMap, message: Message, receivedAtMs: number, memory: IntakeMemory = new IntakeMemory()): TakenIn {
  const { values, absent = [], remarks = [], commands = [] } = decode(topics, message, receivedAtMs, memory);
  const refusal = (reason: RefusalReason, detail: string): Refusal => ({ atMs: receivedAtMs, topic: message.topic.slice(0, 256), reason, detail, sample: sampleOf(message.payload), bytes: message.payload.byteLength });
  const readings: TakenReading[] = absent.map(({ target, reason }) => withoutValue(target, reason, receivedAtMs));
  const refusals: Refusal[] = remarks.map(({ reason, detail }) => refusal(reason, detail));
  for (const { target, decoded } of values) {
    const taken = decoded.ok ? toReading(target, decoded, message.retained, receivedAtMs) : decoded;
    if ('quality' in taken) {
      // History that a broker kept or a pack marks as such says nothing of the sensor's clock.
      if (!memory.seen.has(taken)) readings.push(taken.backlog ? taken : memory.clocks.place(taken));
      continue;
    }
    refusals.push(refusal(taken.reason, `${target.owner}/${target.point}: ${taken.detail}`));
    if (!message.retained) readings.push(withoutValue(target, 'undecodable', receivedAtMs));
  }
  return { readings: markHistory(readings), refusals, commands };
}

function decode(topics: TopicMap, message: Message, receivedAtMs: number, memory: IntakeMemory): DecodedMessage {
  const gone = topics.gone(message.topic, message.payload);
  // A kept word of it holds too: it stands until the device is back. It can only take a value away.
  if (gone) return { values: [], absent: gone.map((target) => ({ target, reason: 'node-offline' as const })) };
  const route = topics.sparkplug(message.topic);
  const targets = route?.targets ?? topics.targets(message.topic);
  if (!route && targets.length === 0) return { values: [], remarks: [refuse('unknown-topic', 'no point is mapped to this topic and it is not potside/<site>/<owner>/<point>')] };
  if (message.payload.byteLength > MAX_BYTES) return tooLarge(message, targets);
  if (!route) return decodePayload(message.payload, targets);
  // Births and data must not be retained (Sparkplug 3.0 §6.4.19): a kept one would announce aliases of another day.
  if (message.retained) return { values: [], remarks: [refuse('not-sparkplug', 'a broker had kept it, which Sparkplug forbids')] };
  return decodeSparkplug(route, message.payload, memory.node(route.at.node), receivedAtMs);
}

function tooLarge({ payload }: Message, targets: readonly TopicTarget[]): DecodedMessage {
  const decoded = refuse('too-large', `found ${payload.byteLength} bytes, expected at most ${MAX_BYTES}`);
  return targets.length === 0 ? { values: [], remarks: [decoded] } : { values: targets.map((target) => ({ target, decoded })) };
}

/** Of several values of one point in a message the newest is news and what is clearly older is history. */
function markHistory(readings: readonly TakenReading[]): readonly TakenReading[] {
  const newest = new Map<string, number>();
  for (const { owner, point, observedAtMs } of readings) newest.set(pointKey(owner, point), Math.max(observedAtMs, newest.get(pointKey(owner, point)) ?? 0));
  if (newest.size === readings.length) return readings;
  return readings.map((reading) => (reading.observedAtMs < (newest.get(pointKey(reading.owner, reading.point)) ?? 0) - LIVE_MS ? { ...reading, backlog: true } : reading));
}

/** The first bytes for a person to look at; what does not print is a dot. */
export function sampleOf(payload: Uint8Array): string {
  return Buffer.from(payload.subarray(0, 120)).toString('latin1').replace(/[^\x20-\x7e]/g, '.');
}
