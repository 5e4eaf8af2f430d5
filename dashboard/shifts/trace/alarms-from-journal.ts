import { PRIORITIES } from '../../../domain/alarms/alarm.ts';
import type { JournalEntry } from '../../api/read-journal.ts';
import type { ShiftAlarm } from './use-shift-alarms.ts';

/** States in which an alarm's cause is gone. */
const GONE: readonly unknown[] = ['normal', 'returned-to-normal-unacknowledged', 'latched-unacknowledged', 'latched-acknowledged'];

/** Alarms with their beginning and end out of the journal's moves, oldest first. One raised before the first entry begins with it. */
export function alarmsFromJournal(newestFirst: readonly JournalEntry[]): readonly ShiftAlarm[] {
  const open = new Map<string, ShiftAlarm>();
  const done: ShiftAlarm[] = [];
  for (const { kind, at, rig, text, detail } of newestFirst.toReversed()) {
    const id = detail['alarm'];
    if (kind !== 'alarm' || typeof id !== 'string') continue;
    const atMs = Date.parse(at);
    const held = open.get(id);
    if (GONE.includes(detail['to'])) {
      if (held) done.push({ ...held, clearedAtMs: atMs });
      open.delete(id);
    } else if (!held && detail['to'] !== 'suppressed-by-design' && detail['to'] !== 'out-of-service') {
      const title = typeof detail['title'] === 'string' ? detail['title'] : text.split(':')[0] ?? text;
      open.set(id, { id: `${id} ${atMs}`, title, owner: rig ?? '', priority: PRIORITIES.find((one) => one === detail['priority']) ?? 'low', raisedAtMs: atMs, clearedAtMs: null });
    }
  }
  return [...done, ...open.values()].sort((a, b) => a.raisedAtMs - b.raisedAtMs);
}
