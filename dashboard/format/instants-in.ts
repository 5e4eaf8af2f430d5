import type { Words } from '../words/en.ts';
import { formatDay } from './day.ts';
import { formatClockOnce } from './instant.ts';

/** As the server writes an instant in a sentence. */
const INSTANT = /\b\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d{1,3})?Z/g;

/** A sentence with its instants (RFC 3339, UTC) as the clock of the site showed them; with the day where it is not that of `besideMs`, the line's own time. */
export function tellInstantsIn(sentence: string, besideMs: number, zone: string, words: Words): string {
  const day = formatDay(besideMs, zone, words);
  return sentence.replace(INSTANT, (written) => {
    const atMs = Date.parse(written);
    const its = formatDay(atMs, zone, words);
    return `${its === day ? '' : `${its} `}${formatClockOnce(atMs, zone, true)}`;
  });
}
