import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import type { Frame, Stretch } from './profile-geometry.ts';

/** Names the stretch that explains a standing alarm, on the side of the line where there is room. */
export function Blame({ stretches, frame }: { stretches: readonly Stretch[]; frame: Frame }) {
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
      <span>{isMost ? `${alarm.title}: ${words.line.mostLostHere}` : alarm.title}</span>
    </div>
  );
}
