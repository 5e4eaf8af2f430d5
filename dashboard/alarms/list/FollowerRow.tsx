import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { formatOffset } from '../../format/offset.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import { AlarmOrder } from '../AlarmOrder.tsx';
import { isUnacknowledged } from '../alarm-state.ts';
import { useAlarmWords } from '../use-alarm-words.ts';
import { LineGlyph } from './LineGlyph.tsx';

/** One of a group, in a line: which it was in time and by how much later. */
export function FollowerRow({ alarm, site, onOpen }: { alarm: LiveAlarm; site: LiveSite; onOpen: () => void }) {
  const { words } = useSeat();
  const said = useAlarmWords(alarm, site);
  return (
    <article className="follower" data-testid={`follower-${alarm.id}`} data-priority={alarm.priority} data-unacknowledged={isUnacknowledged(alarm.state) || undefined}>
      <p className="follower__time">
        {alarm.order === null ? null : <strong>{words.alarms.place(alarm.order)}</strong>}
        {alarm.firstOut ? <span className="first-out">{words.alarms.firstOut}</span> : alarm.offsetMs === null ? null : <span>{words.alarms.offset(formatOffset(alarm.offsetMs, words))}</span>}
      </p>
      <PriorityMark priority={alarm.priority} />
      <LineGlyph alarm={alarm} />
      <button type="button" className="follower__open" aria-expanded="false" onClick={onOpen}>
        <strong>
          {said.where}: {alarm.title}
        </strong>
        <span>
          {words.priorities[alarm.priority]}, {said.facts}, {said.state}
        </span>
        {alarm.chattering ? <span className="tag">{words.alarms.chattering}</span> : null}
      </button>
      <AlarmOrder alarm={alarm} />
    </article>
  );
}
