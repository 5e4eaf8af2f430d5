import { zoneAbbreviation } from '../../format/clock.ts';
import { formatClock } from '../../format/clock.ts';
import { formatDate } from '../../format/day.ts';
import { formatAge } from '../../format/age.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import type { Stretch } from './stretch.ts';

export interface CursorWordsProps {
  readonly stretch: Stretch;
  readonly cursorMs: number | null;
  readonly zone: string;
  readonly isLoading: boolean;
  readonly failure: string | null;
}

/** Where the cursor stands and which stretch is seen, always in the same two lines. */
export function CursorWords({ stretch, cursorMs, zone, isLoading, failure }: CursorWordsProps) {
  const { words } = useSeat();
  const told = words.shifts.trace;
  const clock = (ms: number): string => `${formatClock(ms, zone, true)} ${zoneAbbreviation(ms, zone)}`;
  return (
    <p className="viewer__words">
      <strong data-testid="cursor-time">{cursorMs === null ? told.noCursor : `${formatDate(cursorMs, zone, words)} ${clock(cursorMs)}`}</strong>
      <span className="soft" data-testid="stretch" data-from={stretch.fromMs} data-to={stretch.toMs}>
        {told.seen(clock(stretch.fromMs), clock(stretch.toMs), formatAge(stretch.toMs - stretch.fromMs, words))}
      </span>
      <span className="soft" role="status">
        {failure !== null ? words.shifts.failed(words.problem(failure) || words.shift.serverUnreachable) : isLoading ? words.shifts.loading : ''}
      </span>
    </p>
  );
}
