import { type CSSProperties, type ReactNode, useRef } from 'react';
import type { LiveAlarm, LiveSite } from '../../domain/wire/live.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { flashInStep } from '../ui/flash-in-step.ts';
import { PriorityMark } from '../ui/PriorityMark.tsx';
import { isUnacknowledged } from './alarm-state.ts';
import { useAlarmWords } from './use-alarm-words.ts';

export interface AlarmArticleProps {
  readonly alarm: LiveAlarm;
  readonly site: LiveSite;
  readonly look: 'strip' | 'row';
  /** Between the mark and the words. */
  readonly glyph?: ReactNode;
  /** Under the words. */
  readonly tags?: ReactNode;
  /** After the words. */
  readonly children: ReactNode;
}

/** What strip and list say of an alarm alike: how urgent, where, what to do first, the facts, who has it. */
export function AlarmArticle({ alarm, site, look, glyph, tags, children }: AlarmArticleProps) {
  const { words } = useSeat();
  const said = useAlarmWords(alarm, site);
  const inStep = useRef(flashInStep());
  return (
    <article
      className={`alarm alarm--${look}`}
      data-testid={`alarm-${alarm.id}`}
      data-alarm={alarm.name}
      data-state={alarm.state}
      data-out={alarm.out}
      data-priority={alarm.priority}
      data-unacknowledged={isUnacknowledged(alarm.state) || undefined}
      style={{ '--in-step': inStep.current } as CSSProperties}
    >
      <div className="alarm__mark">
        <PriorityMark priority={alarm.priority} />
        <span className="alarm__priority">{words.priorities[alarm.priority]}</span>
      </div>
      {glyph}
      <div className="alarm__words">
        <h3 className="alarm__title">
          <span className="alarm__where">{said.where}</span> {alarm.title}
        </h3>
        <p className="alarm__response">{alarm.response}</p>
        <p className="alarm__facts">{said.facts}</p>
        <p className="alarm__state">{said.state}</p>
        {tags}
      </div>
      {children}
    </article>
  );
}
