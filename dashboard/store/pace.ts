import type { Schedule } from './store.ts';

/** Readings flicker when shown faster than this; what can't wait is hurried. */
const PACE_MS = 500;

export interface Pace {
  readonly schedule: Schedule;
  /** Tells listeners of a waiting change now. */
  hurry(): void;
}

/** Notifies at most twice a second, whatever the rate of the pushes. */
export function createPace(setTimer: (run: () => void, ms: number) => void = (run, ms) => void setTimeout(run, ms)): Pace {
  let waiting: (() => void) | null = null;
  const release = (): void => {
    const flush = waiting;
    waiting = null;
    flush?.();
  };
  return {
    schedule(flush) {
      waiting = flush;
      // A hurried flush leaves its timer behind: it then finds nothing, or an early flush of the next change, never a lost one.
      setTimer(release, PACE_MS);
    },
    hurry: release,
  };
}
