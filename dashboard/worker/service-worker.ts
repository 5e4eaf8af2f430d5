import { acknowledge } from './acknowledge.ts';
import { noticeOf, readMessage, type Held, takenNotice, untakenNotice } from './notice.ts';
import { openPage } from './open-page.ts';

declare const self: ServiceWorkerGlobalScope;

// A worker that waits for every page to close would go on showing alarms by old rules.
self.addEventListener('install', () => void self.skipWaiting());
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));

// Each push is shown, even one that can't be read: a browser that is shown nothing takes the subscription away.
self.addEventListener('push', (event) => {
  const { title, options } = noticeOf(readMessage(event.data?.text() ?? ''));
  event.waitUntil(self.registration.showNotification(title, options));
});

self.addEventListener('notificationclick', (event) => {
  const { notification, action } = event;
  const held = (notification.data ?? null) as Held | null;
  notification.close();
  if (action === 'acknowledge' && held?.alarm) event.waitUntil(take(held, held.alarm));
  else event.waitUntil(openPage(self.clients, held));
});

/** One tap, by whoever is signed in on this device; what became of it is said in the same place. */
async function take(held: Held, alarm: string): Promise<void> {
  const failure = await acknowledge(alarm);
  const { title, options } = failure === null ? takenNotice(held) : untakenNotice(held, failure);
  await self.registration.showNotification(title, options);
}
