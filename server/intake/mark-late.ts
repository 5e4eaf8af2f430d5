import { findPointKind } from '../../domain/points/catalogue.ts';
import { pointKey } from '../../domain/points/reading.ts';
import type { LoggedReading } from '../../domain/site/log.ts';
import { type Lane, LIVE_WITHIN_MS, type SequencedReading } from '../../domain/wire/uplink.ts';

/**
 * Decides for each reading whether it is live or late: late is what came on the backlog lane, was heard as history, is older than silence
 * of its point may last (a value that was old when it came must not stand for now), or was observed before that point's newest live one.
 * The mark is stored with the reading, so that a replay does not have to guess.
 * `nowMs` is by the gateway's clock, as are the times of receipt.
 */
export function markLate(readings: readonly SequencedReading[], newestObservedMs: (owner: string, point: string) => number | null, nowMs: number, lane: Lane): LoggedReading[] {
  const newest = new Map<string, number | null>();
  return readings.map((reading) => {
    const key = pointKey(reading.owner, reading.point);
    if (!newest.has(key)) newest.set(key, newestObservedMs(reading.owner, reading.point));
    const newestMs = newest.get(key) ?? null;
    const late = lane === 'backlog' || reading.backlog || Math.min(reading.observedAtMs, reading.receivedAtMs) < nowMs - mayWaitMs(reading.point) || (newestMs !== null && reading.observedAtMs < newestMs);
    if (!late) newest.set(key, reading.observedAtMs);
    const { sequence, owner, point, observedAtMs, receivedAtMs, value, quality, reason } = reading;
    return { sequence, owner, point, observedAtMs, receivedAtMs, value, quality, reason, late };
  });
}

function mayWaitMs(point: string): number {
  return Math.min(LIVE_WITHIN_MS, findPointKind(point)?.staleAfterMs ?? LIVE_WITHIN_MS);
}
