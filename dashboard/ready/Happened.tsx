import type { Sequence } from '../../domain/shift/readiness/step.ts';
import type { WireReadiness } from '../../domain/wire/readiness.ts';
import { readinessPath } from '../api/readiness.ts';
import { maySignCheck } from '../api/session.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';

/** What a person tells that no sensor knows: the steps it undoes are due again. */
export function Happened({ rig, events, list, hasShift, onDone }: { rig: string; events: WireReadiness['events']; list: Sequence; hasShift: boolean; onDone: () => Promise<void> }) {
  const { words, session } = useSeat();
  const { isSending, failure, send } = useOrder();
  if (!hasShift || !maySignCheck(session.role)) return null;
  return (
    <section className="happened" aria-label={words.ready.happened}>
      <h2>{words.ready.happened}</h2>
      <p className="soft">{words.ready.happenedMore}</p>
      <div className="happened__keys">
        {events.map((event) => (
          <button key={event.id} type="button" className="happened__key" data-testid={`again-${event.id}`} disabled={isSending} onClick={() => void send(readinessPath(rig, 'again'), { event: event.id }).then(onDone)}>
            {event.words}
          </button>
        ))}
        <button type="button" className="happened__key" data-testid="begin" disabled={isSending} onClick={() => void send(readinessPath(rig, 'begin'), { sequence: list }).then(onDone)}>
          {words.ready.begin}
        </button>
      </div>
      {failure ? (
        <p className="ready__failure" role="alert">
          {failure}
        </p>
      ) : null}
    </section>
  );
}
