/** The worker shows alarms while the page is closed; a browser without one, or a page without TLS, goes on as a page. */
export function startWorker(): void {
  if (!('serviceWorker' in navigator)) return;
  void navigator.serviceWorker.register('/service-worker.js').catch((error: unknown) => console.warn('no worker: this browser is not told of alarms while the page is closed', error));
  navigator.serviceWorker.addEventListener('message', ({ data }: MessageEvent<{ kind?: string; hash?: string } | null>) => {
    if (data?.kind === 'open' && data.hash?.startsWith('#/')) location.hash = data.hash;
  });
}
