/**
 * Log time in Unix ms. Never backwards. Everything that needs the time is handed a clock; only the composition root makes one.
 */
export interface Clock {
  nowMs(): number;
}

/**
 * Wall clock at the start plus elapsed monotonic time: a wall clock that is set while we run moves nothing.
 * `notBeforeMs` is the newest time already in the log, so that a box without a battery clock does not write into the past.
 */
export function wallClock(notBeforeMs = 0): Clock {
  const startMs = Math.max(Date.now(), notBeforeMs);
  const startElapsedMs = performance.now();
  return { nowMs: () => Math.floor(startMs + (performance.now() - startElapsedMs)) };
}

/** How far the wall clock has moved against the monotonic one since `clock` was made. */
export function wallDriftMs(clock: Clock): number {
  return Date.now() - clock.nowMs();
}

/** A clock that is set by hand until it is let go; then it runs on from there. Refuses to go back. */
export class SettableClock implements Clock {
  #atMs: number;
  #running: Clock | null = null;

  constructor(atMs: number) {
    this.#atMs = atMs;
  }

  nowMs(): number {
    if (this.#running) this.#atMs = Math.max(this.#atMs, this.#running.nowMs());
    return this.#atMs;
  }

  set(atMs: number): void {
    if (atMs < this.#atMs) throw new RangeError(`a clock does not go back: ${atMs} is before ${this.#atMs}`);
    this.#atMs = atMs;
  }

  /** From now on it runs with the wall. */
  run(): void {
    this.#running = wallClock();
  }
}
