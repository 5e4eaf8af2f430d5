import type { Words } from '../words/en.ts';

/** How much later: milliseconds below a second, then tenths of seconds, then minutes. */
export function formatOffset(ms: number, words: Words): string {
  if (ms < 1_000) return `${Math.round(ms)} ms`;
  if (ms < 60_000) return `${(ms / 1000).toFixed(1)} ${words.second}`;
  return `${Math.floor(ms / 60_000)} ${words.minute} ${String(Math.floor((ms % 60_000) / 1000)).padStart(2, '0')} ${words.second}`;
}
