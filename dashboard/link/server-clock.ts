/**
 * The server's clock as seen from this page: its time in each frame against a monotonic clock of ours. The wall clock of the
 * device takes no part, so a phone set an hour wrong still shows right ages.
 */
export interface ServerClock {
  /** Server time minus monotonic time, ms: the largest seen lately, which is the frame that travelled fastest. */
  readonly offsetMs: number;
  readonly estimates: readonly number[];
}

/** Enough for a quarter of a minute at four frames a second; short, so that a correction of the server's clock is followed. */
const KEPT = 60;

export function nextClock(clock: ServerClock | null, serverNowMs: number, monotonicMs: number): ServerClock {
  const estimate = serverNowMs - monotonicMs;
  const estimates = [...(clock?.estimates ?? []), estimate].slice(-KEPT);
  return { offsetMs: Math.max(...estimates), estimates };
}

export function serverTimeMs(clock: ServerClock, monotonicMs: number): number {
  return monotonicMs + clock.offsetMs;
}
