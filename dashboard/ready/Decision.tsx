import { readinessPath } from '../api/readiness.ts';
import { mayRelease } from '../api/session.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';
import type { ResultProps } from './Result.tsx';
import { ToolFailure } from './ToolFailure.tsx';

/** Where the line of steps ends: not at a lamp, but at a person who decides, and is recorded as such. */
export function Decision({ check, rig, zone, isLive, onDone }: ResultProps) {
  const { words, session } = useSeat();
  const { isSending, failure, send } = useOrder();
  const { result, released } = check;
  const isOpen = isLive && result.state === 'checks-done';
  return (
    <div className="decision" data-testid="decision">
      <svg className="decision__mark" viewBox="0 0 56 40" aria-hidden="true" focusable="false">
        <path d="M4 12h10l18 7 10-3v14l-10-3-18 7H4zM47 20l7-4M48 23h7M47 26l7 4" />
      </svg>
      <p className="decision__text">
        {!isLive ? words.ready.cantSay : released ? words.ready.releasedBy(released.by, formatClock(Date.parse(released.at), zone, false)) : result.text}
      </p>
      {isOpen && mayRelease(session.role) ? (
        <button type="button" className="action" data-testid="ready-release" disabled={isSending} onClick={() => void send(readinessPath(rig.id, 'release'), {}).then(onDone)}>
          {words.ready.release}
          <span className="action__more">{words.ready.releaseMore}</span>
        </button>
      ) : null}
      {isOpen && !mayRelease(session.role) ? <p>{words.ready.supervisorOnly}</p> : null}
      <ToolFailure failure={failure} />
    </div>
  );
}
