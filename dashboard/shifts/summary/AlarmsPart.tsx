import { PRIORITIES } from '../../../domain/alarms/alarm.ts';
import type { SummaryAlarm, SummaryAlarms } from '../../api/summary.ts';
import type { Quantity } from '../../api/shift-shapes.ts';
import { formatAge } from '../../format/age.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import { Facts } from './Facts.tsx';

const MOST_ROWS = 40;

/** The alarms of the shift, how fast somebody had each, and how long it stood. */
export function AlarmsPart({ alarms, zone }: { alarms: SummaryAlarms; zone: string }) {
  const { words } = useSeat();
  const told = words.shifts.summary;
  const seconds = (quantity: Quantity | null): string => (quantity ? formatAge(quantity.value * 1000, words) : words.noValue);
  const { response } = alarms;
  const byTime = alarms.occurrences.toSorted((a, b) => Date.parse(a.raisedAt) - Date.parse(b.raisedAt));
  return (
    <section aria-label={told.alarmsOf} data-testid="alarms-part">
      <h3>{told.alarms}</h3>
      <Facts
        facts={[
          [told.audible, String(alarms.audible), PRIORITIES.map((priority) => `${words.priorities[priority]} ${alarms.byPriority[priority]}`).join(', ')],
          [told.toHave, seconds(response.medianToAcknowledge), told.slowest(seconds(response.slowestToAcknowledge))],
          [told.toOut, seconds(response.slowestToOut), told.slowestShort],
          [told.never, String(response.neverAcknowledged)],
        ]}
      />
      <ol className="alarm-rows">
        {byTime.slice(0, MOST_ROWS).map((one) => (
          <li key={one.id + one.raisedAt} className="alarm-rows__row">
            <time dateTime={one.raisedAt}>{formatClockOnce(Date.parse(one.raisedAt), zone, true)}</time>
            <PriorityMark priority={one.priority} />
            <span>
              <strong>{words.told(one.title)}</strong> <span className="soft">{one.stoodBefore ? `${words.priorities[one.priority]}, ${told.stoodBefore}` : words.priorities[one.priority]}</span>
            </span>
            <span>{lasted(one, words)}</span>
            <span className="soft">{one.acknowledgedBy === null ? told.nobodyHad : told.had(one.acknowledgedBy, one.acknowledgedAt === null ? '' : formatAge(Date.parse(one.acknowledgedAt) - Date.parse(one.raisedAt), words))}</span>
          </li>
        ))}
      </ol>
      {alarms.occurrences.length > MOST_ROWS ? <p className="soft">{words.shifts.rejudge.moreRows(alarms.occurrences.length - MOST_ROWS)}</p> : null}
    </section>
  );
}

function lasted({ raisedAt, clearedAt }: SummaryAlarm, words: ReturnType<typeof useSeat>['words']): string {
  return clearedAt === null ? words.shifts.summary.stoodOn : formatAge(Date.parse(clearedAt) - Date.parse(raisedAt), words);
}
