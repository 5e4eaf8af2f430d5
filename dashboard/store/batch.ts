import type { Schedule } from './store.ts';

/**
 * Calls listeners once per task however many frames came in it. A task rather than an animation frame, because a hidden tab gets
 * no animation frames and must still know, the moment it is shown, that its numbers are old.
 */
export const batch: Schedule = (flush) => {
  setTimeout(flush, 0);
};
