import { alarmTitle } from '../../domain/alarms/alarm-title.ts';
import type { AlarmState } from '../../domain/alarms/alarm.ts';
import type { AlarmHappening } from '../../domain/alarms/alarm-step.ts';
import type { AlarmRecord } from '../../domain/alarms/metrics.ts';
import type { ToldMove } from '../../domain/shift/summary/alarms.ts';
import type { Action, LogEntry } from '../../domain/site/log.ts';
import type { AlarmTransition, Effects } from '../../domain/site/site-effects.ts';
import type { JournalItem } from './store.ts';

type JournalRow = Pick<JournalItem, 'n' | 'atMs' | 'kind' | 'owner' | 'detail'> & { readonly alarm: string | null };

/** What the journal tells of one entry: every move of an alarm, every action, every change of the configuration or the clock. */
export function journalRows(entry: LogEntry, effects: Effects): JournalRow[] {
  const rows: Omit<JournalRow, 'n'>[] = [];
  if (entry.kind === 'action') rows.push(actionRow(entry.atMs, entry.action, effects));
  if (entry.kind === 'config') rows.push({ atMs: entry.atMs, kind: 'config', owner: null, alarm: null, detail: { version: entry.version, changes: effects.settings, ...(entry.by === undefined ? {} : { by: entry.by, why: entry.why }) } });
  if (entry.kind === 'clock') rows.push({ atMs: entry.atMs, kind: 'clock', owner: null, alarm: null, detail: { jumpMs: entry.jumpMs } });
  if (entry.kind === 'unheard') rows.push({ atMs: entry.atMs, kind: 'unheard', owner: null, alarm: null, detail: { fromMs: entry.fromMs } });
  if (entry.kind === 'found') for (const { owner, ...said } of entry.findings) rows.push({ atMs: entry.atMs, kind: 'found-later', owner, alarm: null, detail: said });
  for (const { what, reason } of effects.failures) rows.push({ atMs: entry.atMs, kind: 'quarantine', owner: null, alarm: null, detail: { what, reason, ...(entry.kind === 'quarantine' ? { held: entry.held } : {}) } });
  rows.push(...effects.transitions.map(alarmRow));
  return rows.map((row, n) => ({ ...row, ...(effects.isDrill ? { detail: { ...row.detail, drill: true } } : {}), n }));
}

function actionRow(atMs: number, action: Action, effects: Effects): Omit<JournalRow, 'n'> {
  const { key: _key, ...said } = action;
  const alarm = 'alarm' in action ? action.alarm : null;
  return { atMs, kind: 'action', owner: effects.shift?.rig ?? ('rig' in action ? action.rig : null), alarm, detail: { ...said, refusal: effects.refusal, ...(effects.evidence.length === 0 ? {} : { evidence: effects.evidence }) } };
}

/** What a row of the journal tells of a move; the words of the file, so what is written is never renamed. */
export interface AlarmDetail {
  readonly alarm: string;
  readonly name: string;
  readonly title: string;
  readonly point: string;
  readonly priority: AlarmRecord['priority'];
  readonly from: AlarmState;
  readonly to: AlarmState;
  readonly raisedAtMs: number;
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: string;
  /** Missing in rows of the first version. */
  readonly what?: AlarmHappening;
  readonly by: string | null;
}

function alarmRow(move: AlarmTransition): Omit<JournalRow, 'n'> {
  const { occurrence, rule } = move;
  const detail: AlarmDetail = {
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
  };
  return { atMs: move.atMs, kind: 'alarm', owner: move.owner, alarm: occurrence.id, detail: { ...detail } };
}

export function toToldMove(atMs: number, owner: string, { alarm: id, name, title, point, priority, from, to, what, value, limit, unit, by }: AlarmDetail): ToldMove {
  const guessed = to === 'unacknowledged' ? 'raised' : to.endsWith('acknowledged') && !to.includes('unack') ? 'acknowledged' : 'returned';
  return { atMs, id, name, title, owner, point, priority, from, to, what: what ?? guessed, value, limit, unit, by };
}
