import type { Schedule } from './store.ts';

/** Readings flicker when shown faster than this; what can't wait is hurried. */
const PACE_MS = 500;

export interface Pace {
  readonly schedule: Schedule;
  /** Tells listeners of a waiting change now. */
  hurry(): void;
}

/**
 * Notifies once in `everyMs` at most, whatever the rate of the pushes. A task rather than an animation frame, because a hidden tab gets
 * no animation frames and must still know, the moment it is shown, that its numbers are old.
 */
export function createPace(everyMs = PACE_MS, setTimer: (run: () => void, ms: number) => void = (run, ms) => void setTimeout(run, ms)): Pace {
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
      setTimer(release, everyMs);
    },
    hurry: release,
  };
}
