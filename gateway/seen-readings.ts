import { type PointKey, pointKey, type Reading } from '../domain/points/reading.ts';

/**
 * Of all points together. A broker that was killed may send again whatever it had handed over since it last saved itself: all that it had
 * queued for a gateway that was away for minutes.
 */
export const SEEN_READINGS = 50_000;
/** Of one point at least, however many there are: more than any sensor has under way. */
const SEEN_OF_POINT = 1_024;

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
        this.#trim(seen);
      }
    }
  }

  #trim(seen: Set<string>): void {
    const kept = Math.max(SEEN_OF_POINT, Math.floor(SEEN_READINGS / this.#byPoint.size));
    for (const oldest of seen) {
      if (seen.size <= kept) return;
      seen.delete(oldest);
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
