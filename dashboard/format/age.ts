import type { Words } from '../words/en.ts';

/** An age in the largest unit that still says something: seconds below two minutes, minutes below two hours. */
export function formatAge(ms: number, words: Words): string {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  if (seconds < 120) return `${seconds} ${words.second}`;
  const minutes = Math.floor(seconds / 60);
  if (minutes < 120) return `${minutes} ${words.minute}`;
  return `${Math.floor(minutes / 60)} ${words.hour} ${String(minutes % 60).padStart(2, '0')} ${words.minute}`;
}
