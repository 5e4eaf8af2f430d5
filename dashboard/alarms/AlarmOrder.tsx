import type { LiveAlarm } from '../../domain/wire/live.ts';
import { alarmOrderPath } from '../api/alarm-orders.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';
import { useStore } from '../hooks/use-store.ts';
import { type NextWord, nextWord } from './next-word.ts';

/** *I have it*, then for CO and loss of air *Blaster out and accounted for*, then where an alarm is held *Reset*. Absent for those who may not. */
export function AlarmOrder({ alarm }: { alarm: LiveAlarm }) {
  const { desk, words, session } = useSeat();
  const { place } = useStore(desk.preferences);
  const { isSending, failure, send } = useOrder();
  const order = nextWord(alarm, session.role);
  if (!order) return null;
  const labels: Record<NextWord, string> = { acknowledge: words.alarms.iHaveIt, 'confirm-out': words.alarms.out, reset: words.alarms.reset };
  return (
    <div className="alarm__order">
      <button
        type="button"
        className="action"
        data-testid={order}
        disabled={isSending}
        aria-label={`${labels[order]}${order === 'confirm-out' ? ` ${words.alarms.outMore}` : ''}: ${alarm.title}`}
        onClick={() => void send(alarmOrderPath(alarm.id, order), order === 'acknowledge' ? { atRig: place === 'rig' } : {})}
      >
        {isSending ? words.alarms.sending : labels[order]}
        {order === 'confirm-out' && !isSending ? <span className="action__more">{words.alarms.outMore}</span> : null}
      </button>
      {failure ? (
        <p className="alarm__failure" role="alert">
          {failure}
        </p>
      ) : null}
    </div>
  );
}
