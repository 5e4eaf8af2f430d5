/** Leaving takes this long at most; then what is still open is let go. */
const STOP_WITHIN_MS = 2_500;

/** Resolves on Ctrl-C or SIGTERM. */
export function untilStopped(): Promise<void> {
  return new Promise((resolve) => {
    process.once('SIGINT', resolve);
    process.once('SIGTERM', resolve);
  });
}

/** Runs the closing down; a second signal or too long a wait ends the process at once. */
export async function stopWithin(stop: () => Promise<void>): Promise<void> {
  const leave = (): never => process.exit(1);
  process.once('SIGINT', leave);
  process.once('SIGTERM', leave);
  const timer = setTimeout(() => {
    process.stderr.write('potside: closing took too long; leaving. What was acknowledged is on disk.\n');
    leave();
  }, STOP_WITHIN_MS);
  await stop();
  clearTimeout(timer);
}
