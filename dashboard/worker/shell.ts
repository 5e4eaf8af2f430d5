/** Files of the page and the name of this build's cache: set where the worker is built. */
declare const SHELL_FILES: readonly string[];
declare const SHELL_NAME: string;

/** A server that takes longer to give the page is as good as away: what is kept is shown, and says itself that it isn't live. */
const PATIENCE_MS = 3_000;

/** Keeps the page itself, so that it opens without the server. Never what the server says: readings, alarms, the record. */
export async function keepShell(caches: CacheStorage): Promise<void> {
  const cache = await caches.open(SHELL_NAME);
  await cache.addAll([...SHELL_FILES]);
}

/** Caches of builds before this one. */
export async function dropOldShells(caches: CacheStorage): Promise<void> {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith('potside-shell-') && name !== SHELL_NAME).map((name) => caches.delete(name)));
}

/** How a request is answered; null where it is none of the worker's business. */
export function answerOf(request: Pick<Request, 'method' | 'mode' | 'url'>, origin: string): 'page' | 'file' | null {
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== origin) return null;
  if (request.mode === 'navigate') return url.pathname === '/' ? 'page' : null;
  return SHELL_FILES.includes(url.pathname) && url.pathname !== '/' ? 'file' : null;
}

/** The server's page where it gives one in time, so that a new one is never held back; else the kept one. */
export async function givePage(caches: CacheStorage, request: Request): Promise<Response> {
  const asked = fetch(request);
  const kept = await caches.match('/');
  if (!kept) return asked;
  const tired = new Promise<Response>((resolve) => void setTimeout(() => resolve(kept), PATIENCE_MS));
  return Promise.race([asked.then((answer) => (answer.ok ? answer : kept), () => kept), tired]);
}

/** Built files bear their content in their name: kept is as good as fetched. */
export async function giveFile(caches: CacheStorage, request: Request): Promise<Response> {
  return (await caches.match(request)) ?? fetch(request);
}
