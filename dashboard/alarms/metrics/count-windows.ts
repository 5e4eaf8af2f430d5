import type { JournalEntry } from '../../api/read-journal.ts';

export interface Window {
  readonly fromMs: number;
  readonly count: number;
}

const WINDOW_MS = 600_000;

/** Calls in each ten minutes from `fromMs` on, without holes, counted from the journal as the server counts them: raised, or announced anew. */
export function countWindows(entries: readonly JournalEntry[], fromMs: number, toMs: number): readonly Window[] {
  const counts = new Array<number>(Math.max(0, Math.ceil((toMs - fromMs) / WINDOW_MS))).fill(0);
  for (const { kind, at, detail } of entries) {
    if (kind !== 'alarm' || detail['to'] !== 'unacknowledged' || detail['from'] === 'unacknowledged') continue;
    const slot = Math.floor((Date.parse(at) - fromMs) / WINDOW_MS);
    if (slot >= 0 && slot < counts.length) counts[slot] = (counts[slot] ?? 0) + 1;
  }
  return counts.map((count, slot) => ({ fromMs: fromMs + slot * WINDOW_MS, count }));
}
