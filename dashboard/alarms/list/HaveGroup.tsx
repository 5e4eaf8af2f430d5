import type { LiveAlarm } from '../../../domain/wire/live.ts';
import { alarmOrderPath } from '../../api/alarm-orders.ts';
import { mayAcknowledge } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useOrder } from '../../hooks/use-order.ts';
import { useStore } from '../../hooks/use-store.ts';

/** One word for all consequences of one cause. CO and loss of air are never among them: each of those is taken by itself. */
export function HaveGroup({ alarms }: { alarms: readonly LiveAlarm[] }) {
  const { desk, words, session } = useSeat();
  const { place } = useStore(desk.preferences);
  const { isSending, failure, send } = useOrder();
  if (alarms.length < 2 || !mayAcknowledge(session.role)) return null;
  const sendAll = async (): Promise<void> => {
    for (const alarm of alarms) if (!(await send(alarmOrderPath(alarm.id, 'acknowledge'), { atRig: place === 'rig' }))) return;
  };
  return (
    <div className="alarm__order">
      <button type="button" className="action" data-testid="have-group" disabled={isSending} onClick={() => void sendAll()}>
        {isSending ? words.alarms.sending : words.alarms.haveGroup(alarms.length)}
      </button>
      {failure ? (
        <p className="alarm__failure" role="alert">
          {failure}
        </p>
      ) : null}
    </div>
  );
}
