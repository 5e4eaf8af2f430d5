import type { Verdict } from '../../../domain/air/likely-cause.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import type { Words } from '../../words/en.ts';
import type { Frame, Stretch } from './profile-geometry.ts';
import { lookFor } from './reckon.ts';

/** Names the stretch that explains a standing alarm, on the side of the line where there is room. */
export function Blame({ stretches, frame, verdict }: { stretches: readonly Stretch[]; frame: Frame; verdict: Verdict | null }) {
  const { words } = useSeat();
  const blamed = stretches.find((s) => s.segment.alarm !== null);
  const alarm = blamed?.segment.alarm;
  if (!blamed || !alarm) return null;
  const most = Math.max(...stretches.map((s) => s.segment.lossPsi ?? 0));
  const isMost = blamed.segment.lossPsi !== null && blamed.segment.lossPsi >= most;
  const middle = ((blamed.y1 ?? 0) + (blamed.y2 ?? 0)) / 2;
  const left = blamed.x1 + 14;
  return (
    <div
      className="profile__blame"
      data-priority={alarm.priority}
      data-testid="blamed-segment"
      style={{ left: `${left}px`, width: `${Math.max(110, blamed.x2 - left - 14)}px`, top: `${middle < frame.heightPx * 0.55 ? middle + 26 : 14}px` }}
    >
      <PriorityMark priority={alarm.priority} />
      <span>
        {isMost ? `${alarm.title}: ${words.line.mostLostHere}` : alarm.title}
        <span className="profile__cause">{causeText(verdict, alarm.cause, words)}</span>
      </span>
    </div>
  );
}

/** Told from the pattern of the losses where it tells anything; else what the alarm itself says, in the reader's language already. */
function causeText(verdict: Verdict | null, ofAlarm: string, words: Words): string {
  const { isLikely, things } = lookFor(verdict);
  if (things.length === 0) return ofAlarm;
  const named = things.map((thing) => words.told(thing)).join(', ');
  return isLikely ? words.line.likely(named) : words.line.couldBe(named);
}
