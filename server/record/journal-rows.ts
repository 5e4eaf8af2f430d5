import { alarmTitle } from '../../domain/alarms/alarm-title.ts';
import type { Action, LogEntry } from '../../domain/site/log.ts';
import type { AlarmTransition, Effects } from '../../domain/site/site-effects.ts';
import type { JournalItem } from './store.ts';

type JournalRow = Pick<JournalItem, 'n' | 'atMs' | 'kind' | 'owner' | 'detail'> & { readonly alarm: string | null };

/** What the journal tells of one entry: every move of an alarm, every action, every change of the configuration or the clock. */
export function journalRows(entry: LogEntry, effects: Effects): JournalRow[] {
  const rows: Omit<JournalRow, 'n'>[] = [];
  if (entry.kind === 'action') rows.push(actionRow(entry.atMs, entry.action, effects));
  if (entry.kind === 'config') rows.push({ atMs: entry.atMs, kind: 'config', owner: null, alarm: null, detail: { version: entry.version } });
  if (entry.kind === 'clock') rows.push({ atMs: entry.atMs, kind: 'clock', owner: null, alarm: null, detail: { jumpMs: entry.jumpMs } });
  rows.push(...effects.transitions.map(alarmRow));
  return rows.map((row, n) => ({ ...row, n }));
}

function actionRow(atMs: number, action: Action, effects: Effects): Omit<JournalRow, 'n'> {
  const { key: _key, ...said } = action;
  const alarm = 'alarm' in action ? action.alarm : null;
  return { atMs, kind: 'action', owner: effects.shift?.rig ?? ('rig' in action ? action.rig : null), alarm, detail: { ...said, refusal: effects.refusal } };
}

function alarmRow(move: AlarmTransition): Omit<JournalRow, 'n'> {
  const { occurrence, rule } = move;
  return {
    atMs: move.atMs,
    kind: 'alarm',
    owner: move.owner,
    alarm: occurrence.id,
    detail: {
      alarm: occurrence.id,
      name: rule.name,
      title: alarmTitle(rule, move.point),
      point: move.point,
      priority: rule.priority,
      from: move.from,
      to: occurrence.state,
      raisedAtMs: occurrence.raisedAtMs,
      value: occurrence.value,
      limit: occurrence.limit,
      unit: move.unit,
      what: move.what,
      by: move.by,
    },
  };
}
