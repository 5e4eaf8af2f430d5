import { createLog } from '../../host/log.ts';

/** A log that says nothing. */
export const QUIET = createLog('silent');

/**
 * Waits until something holds; fails with what it waited for. Generous, as all time-outs of the tests are: how fast it is, is for the
 * benchmarks to say, and a machine with other work fails no test.
 */
export async function until(holds: () => boolean | Promise<boolean>, what: string, withinMs = 20_000): Promise<void> {
  const giveUp = performance.now() + withinMs;
  while (!(await holds())) {
    if (performance.now() > giveUp) throw new Error(`waited ${withinMs} ms in vain for: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}
