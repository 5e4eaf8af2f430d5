import { type PointKey, pointKey, type Reading } from '../domain/points/reading.ts';

/** More than any sensor or broker has under way for one point. */
const KEPT = 1_024;

/**
 * The latest readings of each point that came with a time of their own. At QoS 1 a message may come twice, the second time without a
 * mark (MQTT 3.1.1 §4.3.2): the same value of the same time is the same reading.
 */
export class SeenReadings {
  readonly #byPoint = new Map<PointKey, Set<string>>();

  has(reading: Reading): boolean {
    return isTimed(reading) && (this.#byPoint.get(pointKey(reading.owner, reading.point))?.has(identity(reading)) ?? false);
  }

  /** What is on the disk or on its way there: whatever is heard until that is decided shares its commit, and so its fate. */
  add(readings: readonly Reading[]): void {
    for (const reading of readings) {
      const key = pointKey(reading.owner, reading.point);
      const seen = this.#byPoint.get(key) ?? new Set<string>();
      this.#byPoint.set(key, seen);
      // After an outage the last value may come once more and is news.
      if (reading.value === null) seen.clear();
      else if (isTimed(reading)) {
        seen.add(identity(reading));
        if (seen.size > KEPT) for (const oldest of seen) { seen.delete(oldest); break; }
      }
    }
  }

  /** A repeat of what was lost on the way to the disk is not a repeat. */
  remove(readings: readonly Reading[]): void {
    for (const reading of readings) this.#byPoint.get(pointKey(reading.owner, reading.point))?.delete(identity(reading));
  }
}

/** A time that equals the receipt is the receipt's, or of a sensor that is never repeated so fast. */
function isTimed({ observedAtMs, receivedAtMs }: Reading): boolean {
  return observedAtMs !== receivedAtMs;
}

function identity({ observedAtMs, value, quality, reason }: Reading): string {
  return `${observedAtMs} ${value} ${quality} ${reason}`;
}
