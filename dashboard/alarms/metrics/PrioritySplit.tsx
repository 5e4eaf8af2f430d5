import { type AlarmPriority, PRIORITIES } from '../../../domain/alarms/alarm.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';

/** What a well-kept set of alarms comes to (EEMUA 191): 80 % low, 15 % medium, 5 % above. From memory, to be checked before it is quoted. */
const AIM: Readonly<Record<AlarmPriority, number | null>> = { critical: null, high: 0.05, medium: 0.15, low: 0.8 };

/** How many of each urgency, each as a bar with the share aimed at. */
export function PrioritySplit({ counts }: { counts: Readonly<Record<AlarmPriority, number>> }) {
  const { words } = useSeat();
  const total = PRIORITIES.reduce((sum, priority) => sum + counts[priority], 0);
  return (
    <ol className="shares" data-testid="priority-split">
      {PRIORITIES.map((priority) => {
        const share = total === 0 ? 0 : counts[priority] / total;
        const aim = AIM[priority];
        return (
          <li key={priority} className="shares__row">
            <span className="shares__name">
              <PriorityMark priority={priority} /> {words.priorities[priority]}
            </span>
            <span className="shares__bar" style={{ '--share': `${share * 100}%`, '--aim': `${(aim ?? 0) * 100}%` } as React.CSSProperties}>
              {aim === null ? null : <i className="shares__aim" />}
            </span>
            <span className="shares__count">
              {counts[priority]} <span className="soft">{Math.round(share * 100)} %</span>
            </span>
          </li>
        );
      })}
    </ol>
  );
}
