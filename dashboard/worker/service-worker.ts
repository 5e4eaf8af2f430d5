import { languageOf } from '../../domain/shift/language.ts';
import { acknowledge } from './acknowledge.ts';
import { noticeOf, readMessage, type Held, takenNotice, untakenNotice, wordsOf } from './notice.ts';
import { openPage } from './open-page.ts';
import { answerOf, dropOldShells, giveFile, givePage, keepShell } from './shell.ts';

declare const self: ServiceWorkerGlobalScope;

// A worker that waits for every page to close would go on showing alarms by old rules.
self.addEventListener('install', (event) => {
  void self.skipWaiting();
  // A shell that can't be kept, e.g. on a full disk, must not keep alarms from being shown.
  event.waitUntil(keepShell(self.caches).catch(() => undefined));
});
self.addEventListener('activate', (event) => event.waitUntil(Promise.all([self.clients.claim(), dropOldShells(self.caches)])));

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const answer = answerOf(request, self.location.origin);
  if (answer === 'page') event.respondWith(givePage(self.caches, request));
  if (answer === 'file') event.respondWith(giveFile(self.caches, request));
});

// Each push is shown, even one that can't be read: a browser that is shown nothing takes the subscription away.
self.addEventListener('push', (event) => {
  const { title, options } = noticeOf(readMessage(event.data?.text() ?? ''), languageOf(self.navigator.languages));
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
  const failure = await acknowledge(alarm, wordsOf(held));
  const { title, options } = failure === null ? takenNotice(held) : untakenNotice(held, failure);
  await self.registration.showNotification(title, options);
}
