import type { JournalEntry } from '../../api/read-journal.ts';

/** What the reader asked for beyond what the server sorts by. */
export interface JournalFilter {
  readonly kind: string;
  /** Rule name of the alarm, as `co-high`. */
  readonly alarm: string;
  readonly text: string;
}

/** Every word has to occur, in any order and case. */
export function filterJournal(entries: readonly JournalEntry[], { kind, alarm, text }: JournalFilter): readonly JournalEntry[] {
  const needles = text.toLowerCase().split(/\s+/).filter((word) => word !== '');
  return entries.filter((entry) => {
    if (kind !== '' && entry.kind !== kind) return false;
    if (alarm !== '' && entry.detail['name'] !== alarm) return false;
    const hay = `${entry.text} ${entry.rig ?? ''}`.toLowerCase();
    return needles.every((word) => hay.includes(word));
  });
}

/** Alarms there are to choose from: rule name and title, by title. */
export function alarmsIn(entries: readonly JournalEntry[], standing: readonly { readonly name: string; readonly title: string }[]): readonly (readonly [name: string, title: string])[] {
  const titles = new Map(standing.map((a) => [a.name, a.title]));
  for (const { detail } of entries) {
    if (typeof detail['name'] === 'string' && typeof detail['title'] === 'string') titles.set(detail['name'], detail['title']);
  }
  return [...titles].sort((a, b) => a[1].localeCompare(b[1]));
}
