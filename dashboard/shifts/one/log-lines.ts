import type { HandEntry, Shift, ShiftNote } from '../../api/shift-shapes.ts';
import type { Words } from '../../words/en.ts';

/** One line of a shift's log, in words. */
export interface LogLine {
  readonly id: string;
  /** RFC 3339. */
  readonly at: string;
  readonly kind: 'start' | 'note' | 'entry' | 'handover' | 'end' | 'sign-off' | 'seal';
  readonly who: string;
  readonly text: string;
  readonly note: ShiftNote | null;
  readonly corrections: Shift['corrections'];
}

/** What happened on a shift in the order of time. A correction stands under what it corrects; that itself is never changed. */
export function logLines(shift: Shift, entries: readonly HandEntry[], describeEntry: (entry: HandEntry) => string, words: Words): readonly LogLine[] {
  const of = (id: string): Shift['corrections'] => shift.corrections.filter((one) => one.of === id);
  const line = (part: Omit<LogLine, 'note' | 'corrections'> & Partial<LogLine>): LogLine => ({ note: null, corrections: of(part.id), ...part });
  const told = words.shifts.log;
  const lines: LogLine[] = [
    line({ id: 'start', at: shift.startedAt, kind: 'start', who: shift.startedBy, text: told.started }),
    ...entries.map((entry) => line({ id: entry.id, at: entry.at, kind: 'entry', who: entry.by, text: describeEntry(entry) })),
    ...shift.notes.map((note) => line({ id: note.id, at: note.placedAt, kind: 'note', who: note.by, text: note.text, note })),
    ...shift.handovers.map((one, index) => line({ id: `handover-${index}`, at: one.at, kind: 'handover', who: one.by, text: told.handedOver(one.to, one.text) })),
    ...(shift.endedAt === null ? [] : [line({ id: 'end', at: shift.endedAt, kind: 'end', who: shift.endedBy ?? '', text: told.ended })]),
    ...shift.signOffs.map((one, index) => line({ id: `sign-off-${index}`, at: one.at, kind: 'sign-off', who: one.name, text: told.signed(words.roleNames(one.role), words.shifts.meanings[one.meaning] ?? one.meaning) })),
    ...(shift.seal ? [line({ id: 'seal', at: shift.seal.at, kind: 'seal', who: '', text: told.sealed })] : []),
  ];
  // Parsed, since one server may write 12:00:00Z and another 12:00:00.000Z. Equal instants keep the order above.
  return lines.map((one, index) => ({ one, index, atMs: Date.parse(one.at) })).sort((a, b) => a.atMs - b.atMs || a.index - b.index).map(({ one }) => one);
}

/** Corrections of something that has no line of its own: a field of the setup, or what is not known here. */
export function looseCorrections(shift: Shift, lines: readonly LogLine[]): Shift['corrections'] {
  const known = new Set(lines.map((line) => line.id));
  return shift.corrections.filter((one) => !known.has(one.of));
}
