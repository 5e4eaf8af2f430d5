/**
 * Calls back when the page may have missed something without knowing: it was hidden and is shown again, the browser froze it, or the
 * machine slept.
 * Some browsers stop the monotonic clock in sleep; only there is the wall clock looked at, to notice the hole, never to tell an age.
 */
export function watchSleep(onHole: () => void): () => void {
  const BEAT_MS = 250;
  const HOLE_MS = 3_000;
  let wallMs = Date.now();
  let monotonicMs = performance.now();
  const timer = setInterval(() => {
    const wall = Date.now();
    const monotonic = performance.now();
    const wallStep = wall - wallMs;
    const monotonicStep = monotonic - monotonicMs;
    wallMs = wall;
    monotonicMs = monotonic;
    if (wallStep - monotonicStep > HOLE_MS) onHole();
  }, BEAT_MS);
  const onShown = (): void => {
    if (document.visibilityState === 'visible') onHole();
  };
  document.addEventListener('visibilitychange', onShown);
  // Told on the way in too, so that the last picture before is the first one after, and says what it is.
  document.addEventListener('freeze', onHole);
  document.addEventListener('resume', onHole);
  window.addEventListener('pageshow', onShown);
  return () => {
    clearInterval(timer);
    document.removeEventListener('visibilitychange', onShown);
    document.removeEventListener('freeze', onHole);
    document.removeEventListener('resume', onHole);
    window.removeEventListener('pageshow', onShown);
  };
}
