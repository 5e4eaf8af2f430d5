import { type Language, isLanguage } from '../../domain/shift/language.ts';
import type { PushMessage } from '../../domain/wire/push-message.ts';
import { PUSH_WORDS, type PushWords } from '../words/push-words.ts';

/** Kept with what is shown, for the tap on it. */
export interface Held {
  readonly alarm: string | null;
  readonly title: string;
  readonly body: string;
  /** Absent in what a worker of before there was a choice has shown. */
  readonly language?: Language;
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

/** What a message looks like on the phone. `device`: the language of this device, for a message that can't be read. */
export function noticeOf(message: PushMessage | null, device: Language): Notice {
  if (!message) {
    const { unreadable, unreadableMore } = PUSH_WORDS[device];
    return shown('unreadable', unreadable, { alarm: null, title: unreadable, body: unreadableMore, language: device }, unreadableMore, false);
  }
  const { id, kind, priority, alarm, lines, siteName } = message;
  const language = known(message.language);
  const words = PUSH_WORDS[language];
  const title = kind === 'test' ? words.test(message.title) : words.title(priority, message.title);
  const body = [...lines, siteName].join('\n');
  // The same alarm told again takes the place of the first, and sounds again.
  return shown(alarm ?? id, title, { alarm, title: message.title, body, language }, body, priority === 'critical' || priority === 'high');
}

/** After a tap that took the alarm: silent, in the same place. */
export function takenNotice(held: Held): Notice {
  const { title, options } = shown(held.alarm ?? '', wordsOf(held).taken(held.title), held, held.body, false);
  return { title, options: { ...options, actions: [], silent: true, renotify: false } };
}

/** After a tap that did not: it sounds, and can be tried again. */
export function untakenNotice(held: Held, failure: string): Notice {
  return shown(held.alarm ?? '', wordsOf(held).notTaken, held, [failure, held.title, held.body].join('\n'), true);
}

/** What the worker says of it. */
export function wordsOf({ language }: Held): PushWords {
  return PUSH_WORDS[known(language)];
}

function known(language: unknown): Language {
  return isLanguage(language) ? language : 'en';
}

function shown(tag: string, title: string, held: Held, body: string, requireInteraction: boolean): Notice {
  const actions: Action[] = held.alarm === null ? [] : [{ action: 'acknowledge', title: wordsOf(held).acknowledge }];
  return { title, options: { body, tag, data: held, actions, requireInteraction, renotify: true } };
}
