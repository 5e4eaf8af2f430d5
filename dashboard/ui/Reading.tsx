import type { ReactNode } from 'react';
import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import type { LivePoint } from '../../domain/wire/live.ts';
import { describePoint } from '../format/describe-point.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useReader } from '../hooks/use-reader.ts';
import { PriorityMark } from './PriorityMark.tsx';

export interface ReadingProps {
  readonly label: string;
  readonly point: LivePoint | undefined;
  readonly size: 'huge' | 'large' | 'middle' | 'small';
  readonly testId?: string;
  /** Standing alarm on this very point. */
  readonly priority?: AlarmPriority | null;
  /** False where the place already says which limit it is. */
  readonly hasMargin?: boolean;
  /** What else is known of it, e.g. the time left. */
  readonly more?: string | null;
  /** Its last minutes, drawn: stands right of the number. */
  readonly trace?: ReactNode;
}

/** One value with all that belongs to it: unit, distance to the nearest limit, age, and why it can't be trusted. */
export function Reading({ label, point, size, testId, priority = null, hasMargin = true, more = null, trace }: ReadingProps) {
  const { words } = useSeat();
  const view = describePoint(point, useReader());
  const notes = [view.reason, view.age, hasMargin ? view.margin : null, view.isGood ? more : null].filter((note) => note !== null);
  return (
    <div
      className={`reading reading--${size}${trace ? ' reading--traced' : ''}`}
      data-testid={testId}
      data-quality={view.isGood ? 'good' : 'not-good'}
      data-past={view.isPast || undefined}
      data-priority={priority ?? undefined}
    >
      <div className="reading__label">
        {priority ? <PriorityMark priority={priority} /> : null}
        {label}
      </div>
      <div className="reading__figure">
        <span className="reading__number" data-testid={testId && `${testId}-value`}>
          {view.number === null ? <span aria-hidden="true">{words.noValue}</span> : view.isGood ? view.number : <s>{view.number}</s>}
        </span>
        {view.number === null ? null : <span className="reading__unit">{view.symbol}</span>}
      </div>
      {trace}
      <div className="reading__notes">{notes.join(', ')}</div>
    </div>
  );
}
