import { type PointKey, pointKey } from '../domain/points/reading.ts';
import { doubted, LIVE_MS, type TakenReading } from './to-reading.ts';

/** Ages that lie within this of each other are one clock's error: jitter of the network and of the sensor's beat, ms. */
const SPREAD_MS = 2_000;
/**
 * How long ages must stay the same before they are a clock's error, ms. A busy machine may hand over a queue no faster than it grows for
 * some seconds; a time that was right must not be put aside for that. Meanwhile the point is silent, and an alarm says so.
 */
const STEADY_MS = 60_000;

interface Steady {
  /** From then on the ages of one point lay between these two, not further than `SPREAD_MS` from each other. */
  readonly sinceMs: number;
  readonly leastMs: number;
  readonly mostMs: number;
  /** The latest receipt. It may bring minutes of readings at once: only the newest of them tells the clock, and joins the others at the next. */
  readonly receiptMs: number;
  readonly newestAgeMs: number;
}

/**
 * Tells a reading that waited, in a sensor or at a broker, from one of a sensor whose clock is slow: both say an old time. What
 * waited comes faster than it was observed, so its age shrinks; a slow clock's age stays the same. Until it has stayed the same for
 * a minute an old reading counts as history: an old value shown as live could hide what the air is now.
 */
export class SensorClocks {
  /** Only of points whose last reading was old. */
  readonly #steady = new Map<PointKey, Steady>();

  /** The reading as history where it waited, at its receipt and doubted where its clock is slow, else as it is. */
  place(reading: TakenReading): TakenReading {
    const key = pointKey(reading.owner, reading.point);
    const ageMs = reading.receivedAtMs - reading.observedAtMs;
    if (ageMs <= LIVE_MS) {
      this.#steady.delete(key);
      return reading;
    }
    const steady = follow(this.#steady.get(key), ageMs, reading.receivedAtMs);
    this.#steady.set(key, steady);
    if (!isClocks(steady, ageMs)) return { ...reading, backlog: true };
    return { ...reading, observedAtMs: reading.receivedAtMs, ...doubted(reading, 'clock-suspect') };
  }
}

function follow(before: Steady | undefined, ageMs: number, receivedAtMs: number): Steady {
  if (!before) return { sinceMs: receivedAtMs, leastMs: Number.POSITIVE_INFINITY, mostMs: Number.NEGATIVE_INFINITY, receiptMs: receivedAtMs, newestAgeMs: ageMs };
  if (before.receiptMs === receivedAtMs) return { ...before, newestAgeMs: Math.min(before.newestAgeMs, ageMs) };
  const [leastMs, mostMs] = [Math.min(before.leastMs, before.newestAgeMs), Math.max(before.mostMs, before.newestAgeMs)];
  const latest = { receiptMs: receivedAtMs, newestAgeMs: ageMs };
  if (mostMs - leastMs > SPREAD_MS) return { ...latest, sinceMs: before.receiptMs, leastMs: before.newestAgeMs, mostMs: before.newestAgeMs };
  return { ...latest, sinceMs: before.sinceMs, leastMs, mostMs };
}

function isClocks({ sinceMs, leastMs, mostMs, receiptMs }: Steady, ageMs: number): boolean {
  return receiptMs - sinceMs >= STEADY_MS && Math.max(mostMs, ageMs) - Math.min(leastMs, ageMs) <= SPREAD_MS;
}
