import type { Shift } from '../../api/shift-shapes.ts';
import { zoneAbbreviation } from '../../format/clock.ts';
import { formatDate } from '../../format/day.ts';
import { formatClockOnce, formatSpan } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { StateMark } from '../StateMark.tsx';
import type { ShiftWhere } from '../site-names.ts';

/** Which shift this is, and how far it has come. */
export function ShiftHeadLine({ shift, where }: { shift: Shift; where: ShiftWhere }) {
  const { words } = useSeat();
  const startMs = Date.parse(shift.startedAt);
  const endMs = shift.endedAt === null ? null : Date.parse(shift.endedAt);
  return (
    <header className="shift-head">
      <h2 className="shift-head__name">
        {where.rigName}, {formatDate(startMs, where.zone, words)}
      </h2>
      <p className="shift-head__span">
        {endMs === null ? words.shifts.since(formatClockOnce(startMs, where.zone, false)) : formatSpan(startMs, endMs, where.zone, words)} <span className="soft">{zoneAbbreviation(startMs, where.zone)}</span>
      </p>
      <p className="soft">
        {where.siteName}, {words.shifts.startedBy(shift.startedBy)}
        {shift.endedBy === null ? '' : `, ${words.shifts.endedBy(shift.endedBy)}`}
      </p>
      <StateMark state={shift.state} />
    </header>
  );
}
