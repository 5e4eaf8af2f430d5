import type { PushMessage } from '../../domain/wire/push-message.ts';
import { push as words } from '../words/en-push.ts';

/** Kept with what is shown, for the tap on it. */
export interface Held {
  readonly alarm: string | null;
  readonly title: string;
  readonly body: string;
}

interface Action {
  readonly action: 'acknowledge';
  readonly title: string;
}

/** Of the Notifications API, with the members that TypeScript's own does not know. */
export interface Notice {
  readonly title: string;
  readonly options: NotificationOptions & { readonly actions: Action[]; readonly renotify: boolean };
}

/** Null for what is no message of ours. */
export function readMessage(text: string): PushMessage | null {
  try {
    const said = JSON.parse(text) as Partial<PushMessage> | null;
    return typeof said?.id === 'string' && typeof said.title === 'string' && Array.isArray(said.lines) ? (said as PushMessage) : null;
  } catch {
    return null;
  }
}

/** What a message looks like on the phone. */
export function noticeOf(message: PushMessage | null): Notice {
  if (!message) return shown('unreadable', words.unreadable, { alarm: null, title: words.unreadable, body: words.unreadableMore }, words.unreadableMore, false);
  const { id, kind, priority, alarm, lines, siteName } = message;
  const title = kind === 'test' ? words.test(message.title) : words.title(priority, message.title);
  const body = [...lines, siteName].join('\n');
  // The same alarm told again takes the place of the first, and sounds again.
  return shown(alarm ?? id, title, { alarm, title: message.title, body }, body, priority === 'critical' || priority === 'high');
}

/** After a tap that took the alarm: silent, in the same place. */
export function takenNotice(held: Held): Notice {
  const { title, options } = shown(held.alarm ?? '', words.taken(held.title), held, held.body, false);
  return { title, options: { ...options, actions: [], silent: true, renotify: false } };
}

/** After a tap that did not: it sounds, and can be tried again. */
export function untakenNotice(held: Held, failure: string): Notice {
  return shown(held.alarm ?? '', words.notTaken, held, [failure, held.title, held.body].join('\n'), true);
}

function shown(tag: string, title: string, held: Held, body: string, requireInteraction: boolean): Notice {
  const actions: Action[] = held.alarm === null ? [] : [{ action: 'acknowledge', title: words.acknowledge }];
  return { title, options: { body, tag, data: held, actions, requireInteraction, renotify: true } };
}
