import { useMemo } from 'react';
import type { AlarmPriority } from '../../../domain/alarms/alarm.ts';
import type { Shift } from '../../api/shift-shapes.ts';
import { readSummary } from '../../api/summary.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import type { Stretch } from './stretch.ts';

export interface ShiftAlarm {
  readonly id: string;
  readonly title: string;
  readonly priority: AlarmPriority;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
}

export interface ShiftAlarms {
  readonly items: readonly ShiftAlarm[];
  readonly failure: string | null;
}

/** The alarms of the shift, of its rig, compressor and site, as the summary tells them. */
export function useShiftAlarms(shift: Shift, bounds: Stretch): ShiftAlarms {
  const { words } = useSeat();
  const asked = useAnswer(`${shift.id} ${bounds.toMs}`, () => readSummary(shift.id));
  return useMemo(() => {
    const found = asked.body?.alarms.occurrences ?? [];
    const items = found.map(({ id, title, priority, raisedAt, clearedAt }) => ({ id, title: words.told(title), priority, raisedAtMs: Math.max(Date.parse(raisedAt), bounds.fromMs), clearedAtMs: clearedAt === null ? null : Date.parse(clearedAt) }));
    return { items, failure: asked.failure };
  }, [asked.body, asked.failure, bounds.fromMs, words]);
}
