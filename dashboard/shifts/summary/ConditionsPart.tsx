import type { ShiftCondition } from '../../api/summary.ts';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import { formatAge } from '../../format/age.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { formatQuantity } from '../../format/quantity.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';

const MOST_WINDOWS = 6;

/** How long each condition held, and when it did not. */
export function ConditionsPart({ title, conditions, zone }: { title: string; conditions: readonly ShiftCondition[]; zone: string }) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.shifts.summary;
  return (
    <section aria-label={title}>
      <h3>{title}</h3>
      {conditions.length === 0 ? <p>{told.noConditions}</p> : null}
      <ul className="conditions">
        {conditions.map((one) => {
          const isDifference = findPointKind(one.point)?.dimension === 'temperature-difference';
          const minutes = (value: number): string => formatAge(value * 60_000, words);
          return (
            <li key={one.point}>
              <strong>
                {words.told(one.says)}, {told.limit(formatQuantity(one.limit, units, isDifference))}
              </strong>{' '}
              <span className="soft">{words.told(one.source)}</span>
              <p>
                {told.held(minutes(one.met.value))}, {one.missed.value > 0 ? told.missed(minutes(one.missed.value)) : told.neverMissed}
                {one.unknown.value >= 1 ? `, ${told.unknown(minutes(one.unknown.value))}` : ''}
                {one.worst ? `, ${told.worst(formatQuantity(one.worst, units, isDifference))}` : ''}
              </p>
              {one.windows.length === 0 ? null : (
                <p className="soft">
                  {told.when} {one.windows.slice(0, MOST_WINDOWS).map((span) => told.span(formatClockOnce(Date.parse(span.from), zone, false), formatClockOnce(Date.parse(span.to), zone, false))).join('; ')}
                  {one.windows.length > MOST_WINDOWS ? ` ${told.moreTimes(one.windows.length - MOST_WINDOWS)}` : ''}
                </p>
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}
