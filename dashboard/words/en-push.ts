import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import { terms } from '../../domain/words/en-terms.ts';

/** What the worker says by itself; the alarm's own text comes from the server. */
export const push = {
  title: (priority: AlarmPriority | null, title: string) => (priority === null ? title : `${terms.priorities[priority]}: ${title}`),
  test: (title: string) => `Test: ${title}`,
  unreadable: 'Something was reported',
  unreadableMore: 'Open Potside and look.',
  acknowledge: 'I have it',
  taken: (title: string) => `You have it: ${title}`,
  notTaken: 'Not acknowledged',
  signIn: 'You are not signed in on this device. Tap to open the alarm.',
  noAnswer: 'The server does not answer. Tap to open the alarm.',
  refused: (why: string) => (why === '' ? 'The server refused it. Tap to open the alarm.' : `${why}. Tap to open the alarm.`),
};
