import { useRef } from 'react';
import type { LiveAlarm, LiveSite } from '../../domain/wire/live.ts';
import { AlarmOrder } from '../alarms/AlarmOrder.tsx';
import { isUnacknowledged } from '../alarms/alarm-state.ts';
import { useAlarmWords } from '../alarms/use-alarm-words.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { flashInStep } from '../ui/flash-in-step.ts';
import { PriorityMark } from '../ui/PriorityMark.tsx';

/** One alarm in the strip. */
export function AlarmItem({ alarm, site }: { alarm: LiveAlarm; site: LiveSite }) {
  const { words } = useSeat();
  const said = useAlarmWords(alarm, site);
  const inStep = useRef(flashInStep());
  return (
    <article
      className="alarm alarm--strip"
      data-testid={`alarm-${alarm.id}`}
      data-alarm={alarm.name}
      data-state={alarm.state}
      data-out={alarm.out}
      data-priority={alarm.priority}
      data-unacknowledged={isUnacknowledged(alarm.state) || undefined}
      style={{ '--in-step': inStep.current } as React.CSSProperties}
    >
      <div className="alarm__mark">
        <PriorityMark priority={alarm.priority} />
        <span className="alarm__priority">{words.priorities[alarm.priority]}</span>
      </div>
      <div className="alarm__words">
        <h3 className="alarm__title">
          <span className="alarm__where">{said.where}</span> {alarm.title}
        </h3>
        <p className="alarm__response">{alarm.response}</p>
        <p className="alarm__facts">{said.facts}</p>
        <p className="alarm__state">{said.state}</p>
      </div>
      <AlarmOrder alarm={alarm} />
    </article>
  );
}
