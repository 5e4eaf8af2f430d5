import type { AlarmPriority } from '../../domain/alarms/alarm.ts';

/** Shapes differ in outline, not only in colour: eight corners, three, four, none. */
const SHAPES: Readonly<Record<AlarmPriority, string>> = {
  critical: 'M10 2h12l8 8v12l-8 8H10l-8-8V10z',
  high: 'M16 2 31 29H1z',
  medium: 'M16 1 31 16 16 31 1 16z',
  low: 'M16 3a13 13 0 1 0 0 26 13 13 0 0 0 0-26z',
};

export function PriorityMark({ priority }: { priority: AlarmPriority }) {
  return (
    <svg className="priority-mark" data-priority={priority} viewBox="0 0 32 32" aria-hidden="true" focusable="false">
      <path d={SHAPES[priority]} />
      {priority === 'low' ? null : <path className="priority-mark__stroke" d={priority === 'high' ? 'M16 11v9' : 'M16 8v10'} />}
      {priority === 'low' ? null : <circle className="priority-mark__dot" cx="16" cy={priority === 'high' ? 24 : 23} r="2.2" />}
    </svg>
  );
}
