import { callApi } from '../../api/call-api.ts';

/** Whether this browser can be told while the page is closed, and whether it is. */
export type PushHere = 'unsupported' | 'blocked' | 'off' | 'on';

const KEY = 'potside.push';
/** A worker that does not come must not leave the key hanging. */
const WORKER_MS = 10_000;

/** `mine`: ids of the browsers in which the server tells whoever is signed in. */
export async function pushHere(mine: readonly string[]): Promise<PushHere> {
  if (!('serviceWorker' in navigator) || !('PushManager' in window) || !('Notification' in window)) return 'unsupported';
  if (Notification.permission === 'denied') return 'blocked';
  const held = await (await navigator.serviceWorker.getRegistration())?.pushManager.getSubscription();
  // A browser that was subscribed for somebody else tells them, not whoever looks now.
  return held && mine.includes(pushIdHere() ?? '') ? 'on' : 'off';
}

/** The server's name for this browser's subscription. */
export function pushIdHere(): string | null {
  try {
    return localStorage.getItem(KEY);
  } catch {
    return null;
  }
}

/** Asks the person, then the browser, then the server. Null when it is done, else why not. */
export async function subscribeHere(): Promise<string | null> {
  try {
    if ((await Notification.requestPermission()) !== 'granted') return '';
    const key = await callApi<{ key: string }>('/api/push-key');
    if (!key.ok) return key.detail;
    const { pushManager } = await registration();
    // Of another key, e.g. of a server that was set up anew: the browser would refuse the new one.
    await (await pushManager.getSubscription())?.unsubscribe();
    const made = await pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key.body.key });
    const kept = await callApi<{ id: string }>('/api/push-subscriptions', { method: 'POST', body: made.toJSON() });
    if (!kept.ok) {
      await made.unsubscribe();
      return kept.detail;
    }
    localStorage.setItem(KEY, kept.body.id);
    return null;
  } catch (error) {
    return error instanceof Error ? error.message : '';
  }
}

/** The browser lets go first: what the server then still sends is refused by the push service, which makes it let go too. */
export async function unsubscribeHere(): Promise<string | null> {
  const held = await (await navigator.serviceWorker.getRegistration())?.pushManager.getSubscription();
  await held?.unsubscribe();
  const id = pushIdHere();
  if (id === null) return null;
  localStorage.removeItem(KEY);
  const answer = await callApi(`/api/push-subscriptions/${encodeURIComponent(id)}`, { method: 'DELETE' });
  return answer.ok || answer.status === 404 ? null : answer.detail;
}

function registration(): Promise<ServiceWorkerRegistration> {
  const late = new Promise<never>((_resolve, reject) => void setTimeout(() => reject(new Error('the page’s worker did not start')), WORKER_MS));
  return Promise.race([navigator.serviceWorker.ready, late]);
}
