import { createLog } from '../../host/log.ts';

/** A log that says nothing. */
export const QUIET = createLog('silent');

/** Waits until something holds; fails with what it waited for. */
export async function until(holds: () => boolean | Promise<boolean>, what: string, withinMs = 5_000): Promise<void> {
  const giveUp = performance.now() + withinMs;
  while (!(await holds())) {
    if (performance.now() > giveUp) throw new Error(`waited ${withinMs} ms in vain for: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}
