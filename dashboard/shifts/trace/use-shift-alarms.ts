import { useMemo } from 'react';
import type { AlarmPriority } from '../../../domain/alarms/alarm.ts';
import type { Shift } from '../../api/shift-shapes.ts';
import { readJournal } from '../../api/read-journal.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { alarmsFromJournal } from './alarms-from-journal.ts';
import type { Stretch } from './stretch.ts';

export interface ShiftAlarm {
  readonly id: string;
  readonly title: string;
  readonly owner: string;
  readonly priority: AlarmPriority;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
}

export interface ShiftAlarms {
  readonly items: readonly ShiftAlarm[];
  readonly failure: string | null;
}

const PAGE = 500;

/** The alarms of the shift's rig within the shift, from the journal. */
export function useShiftAlarms(shift: Shift, bounds: Stretch): ShiftAlarms {
  const from = new Date(bounds.fromMs).toISOString();
  const to = new Date(bounds.toMs).toISOString();
  const asked = useAnswer(`${shift.id} ${bounds.toMs}`, () => readJournal({ site: shift.site, rig: shift.rig, alarm: null, cursor: null, limit: PAGE, from, to }));
  return useMemo(() => ({ items: asked.body ? alarmsFromJournal(asked.body.items) : [], failure: asked.failure }), [asked.body, asked.failure]);
}
