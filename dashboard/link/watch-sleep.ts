/**
 * Calls back when the page may have missed something without knowing: it was hidden and is shown again, or the machine slept.
 * Some browsers stop the monotonic clock in sleep; only there is the wall clock looked at, to notice the hole, never to tell an age.
 */
export function watchSleep(onHole: () => void): () => void {
  const BEAT_MS = 1_000;
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
  window.addEventListener('pageshow', onShown);
  return () => {
    clearInterval(timer);
    document.removeEventListener('visibilitychange', onShown);
    window.removeEventListener('pageshow', onShown);
  };
}
