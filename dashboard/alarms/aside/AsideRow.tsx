import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { alarmOrderPath } from '../../api/alarm-orders.ts';
import { mayShelve, mayTakeOutOfService } from '../../api/session.ts';
import { formatAge } from '../../format/age.ts';
import { formatClock } from '../../format/clock.ts';
import { formatDay } from '../../format/day.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useOrder } from '../../hooks/use-order.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { LineGlyph } from '../list/LineGlyph.tsx';
import { whereOf } from '../where-of.ts';
import { asideWord } from './aside-until.ts';

const DAY_MS = 86_400_000;

/** One alarm that does not sound: why, by whose word, and when it comes back. */
export function AsideRow({ alarm, site }: { alarm: LiveAlarm; site: LiveSite }) {
  const { words, session } = useSeat();
  const { nowMs } = useReader();
  const { isSending, failure, send } = useOrder();
  const word = asideWord(alarm);
  const isShelf = alarm.state === 'shelved';
  const mayBringBack = word !== null && (isShelf ? mayShelve(session.role, alarm.shelvableBy) : mayTakeOutOfService(session.role, alarm.shelvableBy));
  const leftMs = word && nowMs !== null ? word.untilMs - nowMs : null;
  const clock = word ? `${leftMs !== null && leftMs > DAY_MS / 2 ? `${formatDay(word.untilMs, site.zone, words)} ` : ''}${formatClock(word.untilMs, site.zone, false)}` : '';
  const left = leftMs === null ? '' : leftMs >= 2 * DAY_MS ? words.aside.days(Math.floor(leftMs / DAY_MS)) : formatAge(leftMs, words);
  return (
    <article className="aside-row" data-testid={`alarm-${alarm.id}`} data-state={alarm.state}>
      <LineGlyph alarm={alarm} />
      <div className="aside-row__what">
        <h3>
          {whereOf(alarm, site, words.alarms.site)}: {alarm.title}
        </h3>
        <p className="soft">{words.priorities[alarm.priority]}</p>
      </div>
      <div className="aside-row__why">
        <p>{word ? (isShelf ? `${words.aside.reasons[word.reason] ?? word.reason}: ${word.text}` : word.text) : (alarm.suppressedBecause ?? '')}</p>
        {word ? <p className="soft">{[words.aside.by(word.by), word.approvedBy === null ? null : words.aside.approved(word.approvedBy)].filter((p) => p !== null).join(', ')}</p> : null}
      </div>
      <p className="aside-row__until">{word ? words.aside.returnsAt(clock, left) : ''}</p>
      {mayBringBack ? (
        <div className="alarm__order">
          <button
            type="button"
            className="action"
            data-testid={isShelf ? 'unshelve' : 'in-service'}
            aria-label={`${isShelf ? words.aside.unshelve : words.aside.inService}: ${alarm.title}`}
            disabled={isSending}
            onClick={() => void send(alarmOrderPath(alarm.id, isShelf ? 'unshelve' : 'in-service'), {})}
          >
            {isSending ? words.alarms.sending : isShelf ? words.aside.unshelve : words.aside.inService}
          </button>
          {failure ? (
            <p className="alarm__failure" role="alert">
              {failure}
            </p>
          ) : null}
        </div>
      ) : null}
    </article>
  );
}
