import type { Held } from './notice.ts';

/** What the worker tells a page that is open already. */
export interface OpenMessage {
  readonly kind: 'open';
  /** Where to go within the page, with its `#`. */
  readonly hash: string;
}

/** Opens the page where the alarm stands, in a window that is there already if there is one. */
export async function openPage(clients: Clients, held: Held | null): Promise<void> {
  const hash = held?.alarm ? `#/alarms?alarm=${encodeURIComponent(held.alarm)}` : '#/alarms';
  const windows = await clients.matchAll({ type: 'window', includeUncontrolled: true });
  const page = windows.find(({ focused }) => focused) ?? windows.find(({ visibilityState }) => visibilityState === 'visible') ?? windows[0];
  if (!page) return void (await clients.openWindow(`/${hash}`));
  page.postMessage({ kind: 'open', hash } satisfies OpenMessage);
  await page.focus();
}
