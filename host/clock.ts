/**
 * Log time in Unix ms. Never backwards. Everything that needs the time is handed a clock; only the composition root makes one.
 */
export interface Clock {
  nowMs(): number;
  /** How far the wall clock has moved against the monotonic one since the start, ms; null for a clock that does not follow the wall. */
  wallDriftMs(): number | null;
}

/**
 * Wall clock at the start plus elapsed monotonic time: a wall clock that is set while we run moves nothing.
 * `notBeforeMs` is the newest time already in the log, so that a box without a battery clock does not write into the past.
 */
export function wallClock(notBeforeMs = 0): Clock {
  const startMs = Math.max(Date.now(), notBeforeMs);
  const startElapsedMs = performance.now();
  const wallStartMs = Date.now();
  const elapsedMs = (): number => performance.now() - startElapsedMs;
  return { nowMs: () => Math.floor(startMs + elapsedMs()), wallDriftMs: () => Date.now() - wallStartMs - elapsedMs() };
}

/** A clock that is set by hand until it is let go; then it runs on from there, `speed` times as fast as the wall. Refuses to go back. */
export class SettableClock implements Clock {
  #atMs: number;
  #origin: { readonly atMs: number; readonly elapsedMs: number; readonly speed: number } | null = null;

  constructor(atMs: number) {
    this.#atMs = atMs;
  }

  nowMs(): number {
    if (this.#origin) this.#atMs = Math.floor(this.#origin.atMs + (performance.now() - this.#origin.elapsedMs) * this.#origin.speed);
    return this.#atMs;
  }

  wallDriftMs(): null {
    return null;
  }

  set(atMs: number): void {
    if (atMs < this.#atMs) throw new RangeError(`a clock does not go back: ${atMs} is before ${this.#atMs}`);
    this.#atMs = atMs;
  }

  run(speed: number): void {
    this.#origin = { atMs: this.#atMs, elapsedMs: performance.now(), speed };
  }
}
