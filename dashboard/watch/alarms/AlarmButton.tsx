import { useState } from 'react';
import type { LiveAlarm } from '../../../domain/wire/live.ts';
import { acknowledgeAlarm, resetAlarm } from '../../api/alarm-orders.ts';
import { mayAcknowledge, mayReset } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { isLatched, isUnacknowledged } from './alarm-state.ts';

/** *I have it*, then where an alarm is held, *Reset*. Absent for those who may not, rather than refusing them. */
export function AlarmButton({ alarm }: { alarm: LiveAlarm }) {
  const { words, session } = useSeat();
  const [isSending, setSending] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const isNext = isUnacknowledged(alarm.state);
  const order = isNext && mayAcknowledge(session.role) ? acknowledgeAlarm : !isNext && isLatched(alarm.state) && mayReset(session.role) ? resetAlarm : null;
  if (!order) return null;

  // The alarm itself changes by push, for this screen as for all others: nothing is shown as done before the server has done it.
  const send = async (): Promise<void> => {
    setSending(true);
    setFailure(null);
    const answer = await order(alarm.id);
    setSending(false);
    if (!answer.ok) setFailure(answer.status === 0 ? words.alarms.failedUnreachable : `${words.alarms.failed} ${answer.detail}`.trim());
  };
  return (
    <div className="alarm__order">
      <button
        type="button"
        className="action"
        data-testid={order === acknowledgeAlarm ? 'acknowledge' : 'reset'}
        disabled={isSending}
        aria-label={`${order === acknowledgeAlarm ? words.alarms.iHaveIt : words.alarms.reset}: ${alarm.title}`}
        onClick={() => void send()}
      >
        {isSending ? words.alarms.sending : order === acknowledgeAlarm ? words.alarms.iHaveIt : words.alarms.reset}
      </button>
      {failure ? (
        <p className="alarm__failure" role="alert">
          {failure}
        </p>
      ) : null}
    </div>
  );
}
