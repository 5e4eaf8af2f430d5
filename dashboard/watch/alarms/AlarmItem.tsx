import { useRef } from 'react';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import { formatAge } from '../../format/age.ts';
import { formatClock } from '../../format/clock.ts';
import { formatNumber, inSystem } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import { AlarmButton } from './AlarmButton.tsx';
import { isUnacknowledged } from './alarm-state.ts';

export interface AlarmItemProps {
  readonly alarm: LiveAlarm;
  readonly site: LiveSite;
  /** In the list there is room for cause, consequence and response. */
  readonly form: 'strip' | 'list';
}

/** The longest flash cycle: every mark starts within it, so all flash in step and together stay below three a second. */
const FLASH_CYCLE_MS = 2_000;

export function AlarmItem({ alarm, site, form }: AlarmItemProps) {
  const { words } = useSeat();
  const reader = useReader();
  const inStep = useRef(`-${Math.round(performance.now() % FLASH_CYCLE_MS)}ms`);
  const where = site.rigs.find((rig) => rig.id === alarm.rig)?.name ?? site.compressors.find((c) => c.id === alarm.owner)?.name ?? words.alarms.site;
  const clock = (atMs: number): string => formatClock(atMs, site.zone, false);
  const kind = findPointKind(alarm.point);
  const figure = (value: number): string => {
    if (!kind) return formatNumber(value, 0);
    const measure = inSystem(value, alarm.unit, kind.dimension, reader.system);
    return `${formatNumber(measure.value, Number.isInteger(value) ? measure.decimals : Math.max(measure.decimals, reader.system === 'us' ? 1 : measure.decimals))} ${measure.symbol}`;
  };
  const facts = [
    alarm.value !== null && alarm.limit !== null ? words.alarms.raisedAt(figure(alarm.value), figure(alarm.limit)) : null,
    words.alarms.since(clock(alarm.raisedAtMs), formatAge((reader.nowMs ?? alarm.raisedAtMs) - alarm.raisedAtMs, words)),
    alarm.clearedAtMs !== null ? words.alarms.over(clock(alarm.clearedAtMs)) : null,
  ].filter((fact) => fact !== null);
  return (
    <article
      className={`alarm alarm--${form}`}
      data-testid={`alarm-${alarm.id}`}
      data-alarm={alarm.name}
      data-state={alarm.state}
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
          <span className="alarm__where">{where}</span> {alarm.title}
        </h3>
        {form === 'strip' ? <p className="alarm__response">{alarm.response}</p> : null}
        <p className="alarm__facts">{facts.join(', ')}</p>
        <p className="alarm__state">
          {alarm.acknowledgedBy !== null && alarm.acknowledgedAtMs !== null ? words.alarms.takenBy(alarm.acknowledgedBy, clock(alarm.acknowledgedAtMs)) : words.states[alarm.state]}
        </p>
        {form === 'list' ? (
          <dl className="alarm__advice">
            <dt>{words.alarms.response}</dt>
            <dd>
              {alarm.response} {words.alarms.within(alarm.respondWithin)}.
            </dd>
            <dt>{words.alarms.cause}</dt>
            <dd>{alarm.cause}</dd>
            <dt>{words.alarms.consequence}</dt>
            <dd>{alarm.consequence}</dd>
          </dl>
        ) : null}
      </div>
      <AlarmButton alarm={alarm} />
    </article>
  );
}
