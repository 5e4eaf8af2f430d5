import { onGrid, type Quality, type QualityReason, type Reading } from '../domain/points/reading.ts';
import { convert, findUnit, needUnit } from '../domain/quantity/unit.ts';
import { type DecodedValue, quote, type Refused, refuse } from './decode/decoded.ts';
import { scaleLoop } from './scale-loop.ts';
import type { TopicTarget } from './topic-map.ts';

export type TakenReading = Reading & { readonly backlog: boolean };

/** A sensor's clock may be this far ahead before its time is put aside. */
const FUTURE_TOLERANCE_MS = 5_000;
/** Before this no sensor of ours was built: a clock that says so has lost its battery. */
const EARLIEST_MS = Date.UTC(2015, 0, 1);
/** What a broker or a sensor had kept is as good as live while it is newer than this; as much as a sensor's clock may be ahead. */
export const LIVE_MS = 5_000;

/** Judges a decoded value: its unit, its time, and whether it can be true. */
export function toReading(target: TopicTarget, decoded: DecodedValue, retained: boolean, receivedAtMs: number): TakenReading | Refused {
  if (retained && decoded.atSeconds === null) return refuse('retained-without-time', 'a retained message without a time of its own may be of any age');
  const measured = measure(target, decoded);
  if ('ok' in measured) return measured;
  const claimedMs = Math.round(decoded.atSeconds === null ? receivedAtMs + (decoded.afterReceipt ?? 0) * 1000 : decoded.atSeconds * 1000);
  const isClockSuspect = claimedMs > receivedAtMs + FUTURE_TOLERANCE_MS || claimedMs < EARLIEST_MS;
  const observedAtMs = isClockSuspect ? receivedAtMs : Math.min(claimedMs, receivedAtMs);
  return {
    owner: target.owner,
    point: target.point,
    observedAtMs,
    receivedAtMs,
    ...doubted(measured, decoded.doubt ?? (isClockSuspect ? 'clock-suspect' : null)),
    backlog: decoded.isHistory === true || (retained && observedAtMs < receivedAtMs - LIVE_MS),
  };
}

/** A reading without value: the sensor speaks, but says nothing that can be used, or has gone. */
export function withoutValue({ owner, point }: TopicTarget, reason: QualityReason, receivedAtMs: number): TakenReading {
  return { owner, point, observedAtMs: receivedAtMs, receivedAtMs, value: null, quality: 'bad', reason, backlog: false };
}

interface Measured {
  readonly value: number | null;
  readonly quality: Quality;
  readonly reason: QualityReason | null;
}

/** A good value that is doubted for this reason; what is worse already stays so. */
export function doubted(measured: Measured, doubt: QualityReason | null): Measured {
  const { value, quality, reason } = measured;
  return doubt !== null && quality === 'good' ? { value, quality: 'uncertain', reason: doubt } : { value, quality, reason };
}

function measure({ kind, source }: TopicTarget, decoded: DecodedValue): Measured | Refused {
  const loop = source?.loop ?? null;
  const dimension = loop ? 'current' : kind.dimension;
  const usual = loop ? 'mA' : kind.unit;
  const code = decoded.unit ?? source?.unit ?? usual;
  const unit = findUnit(code, dimension);
  if (!unit) return refuse('wrong-unit', `found unit ${quote(code)}, expected a unit of ${dimension} such as ${usual}`);
  const found = convert(decoded.value, unit, needUnit(usual, dimension));
  // 0.0036 A is 3.6 mA, not the last digit of a double below it: the limits of the loop are exact.
  const scaled = loop ? scaleLoop(Math.round(found * 1e9) / 1e9, loop) : { value: found, reason: null };
  if (scaled.value === null) return { ...scaled, quality: 'bad' };
  const value = onGrid(scaled.value, kind.resolution);
  if (!Number.isFinite(value)) return refuse('not-finite', `found ${decoded.value} ${code}, which is beyond what a number can hold in ${kind.unit}`);
  if (value < kind.plausible[0] || value > kind.plausible[1]) return { value, quality: 'bad', reason: 'out-of-range' };
  return { value, quality: scaled.reason ? 'uncertain' : 'good', reason: scaled.reason };
}
