import { findPointKind, type PointKind } from '../domain/points/catalogue.ts';
import { onGrid, type Reading } from '../domain/points/reading.ts';
import { convert, findUnit, needUnit } from '../domain/quantity/unit.ts';
import type { Refusal, RefusalReason } from '../domain/wire/refusal.ts';
import { type Decoded, quote } from './decode/decoded.ts';
import { decodePayload } from './decode/decode-payload.ts';
import type { TopicMap, TopicTarget } from './topic-map.ts';

/** A message as the broker handed it over. */
export interface Message {
  readonly topic: string;
  readonly payload: Uint8Array;
  /** True where a broker had stored it: it is history, however new it looks. */
  readonly retained: boolean;
}

export interface TakenIn {
  readonly readings: readonly (Reading & { readonly backlog: boolean })[];
  readonly refusals: readonly Refusal[];
}

/** Larger than any sensor's message; checked before anything is parsed. */
const MAX_BYTES = 64 * 1024;
/** A sensor's clock may be this far ahead before its time is put aside. */
const FUTURE_TOLERANCE_MS = 5_000;
/** Before this no sensor of ours was built: a clock that says so has lost its battery. */
const EARLIEST_MS = Date.UTC(2015, 0, 1);
/** A retained message that is newer than this by its own time is as good as live. */
const RETAINED_LIVE_MS = 10_000;

/**
 * Turns a message into readings. Pure. What can't be used is set aside with a reason, and on a known topic also becomes a reading
 * without value: a sensor that talks nonsense is not silent, and its last good value must not stand for it.
 */
export function takeIn(topics: TopicMap, message: Message, receivedAtMs: number): TakenIn {
  const targets = topics.targets(message.topic);
  const refusal = (reason: RefusalReason, detail: string): Refusal => ({ atMs: receivedAtMs, topic: message.topic.slice(0, 256), reason, detail, sample: sampleOf(message.payload), bytes: message.payload.byteLength });
  if (targets.length === 0) return { readings: [], refusals: [refusal('unknown-topic', 'no point is mapped to this topic and it is not potside/<site>/<owner>/<point>')] };
  const payload = message.payload.byteLength > MAX_BYTES ? null : message.payload;
  const decoded = payload ? decodePayload(payload, targets) : targets.map((): Decoded => ({ ok: false, reason: 'too-large', detail: `found ${message.payload.byteLength} bytes, expected at most ${MAX_BYTES}` }));
  const readings: (Reading & { backlog: boolean })[] = [];
  const refusals: Refusal[] = [];
  targets.forEach((target, index) => {
    const kind = findPointKind(target.point);
    const value = decoded[index];
    if (!kind || !value) return;
    const taken = value.ok ? toReading(target, kind, value, message.retained, receivedAtMs) : value;
    if ('quality' in taken) readings.push(taken);
    else {
      refusals.push(refusal(taken.reason, `${target.owner}/${target.point}: ${taken.detail}`));
      if (!message.retained) readings.push(unreadable(target, receivedAtMs));
    }
  });
  return { readings, refusals };
}

type Refused = Extract<Decoded, { ok: false }>;

function toReading(target: TopicTarget, kind: PointKind, decoded: Extract<Decoded, { ok: true }>, retained: boolean, receivedAtMs: number): (Reading & { backlog: boolean }) | Refused {
  const code = decoded.unit ?? target.source?.unit ?? kind.unit;
  const unit = findUnit(code, kind.dimension);
  if (!unit) return { ok: false, reason: 'wrong-unit', detail: `found unit ${quote(code)}, expected a unit of ${kind.dimension} such as ${kind.unit}` };
  if (retained && decoded.atSeconds === null) return { ok: false, reason: 'retained-without-time', detail: 'a retained message without a time of its own may be of any age' };
  const value = onGrid(convert(decoded.value, unit, needUnit(kind.unit, kind.dimension)), kind.resolution);
  const claimedMs = decoded.atSeconds === null ? receivedAtMs : Math.round(decoded.atSeconds * 1000);
  const isClockSuspect = claimedMs > receivedAtMs + FUTURE_TOLERANCE_MS || claimedMs < EARLIEST_MS;
  const observedAtMs = isClockSuspect ? receivedAtMs : Math.min(claimedMs, receivedAtMs);
  const isPlausible = value >= kind.plausible[0] && value <= kind.plausible[1];
  return {
    owner: target.owner,
    point: target.point,
    observedAtMs,
    receivedAtMs,
    value,
    quality: isPlausible ? (isClockSuspect ? 'uncertain' : 'good') : 'bad',
    reason: isPlausible ? (isClockSuspect ? 'clock-suspect' : null) : 'out-of-range',
    backlog: retained && observedAtMs < receivedAtMs - RETAINED_LIVE_MS,
  };
}

function unreadable(target: TopicTarget, receivedAtMs: number): Reading & { backlog: boolean } {
  return { owner: target.owner, point: target.point, observedAtMs: receivedAtMs, receivedAtMs, value: null, quality: 'bad', reason: 'undecodable', backlog: false };
}

/** The first bytes for a person to look at; what does not print is a dot. */
function sampleOf(payload: Uint8Array): string {
  return Buffer.from(payload.subarray(0, 120)).toString('latin1').replace(/[^\x20-\x7e]/g, '.');
}
