import type { LiveRig } from '../../domain/wire/live.ts';
import type { WireReadiness } from '../../domain/wire/readiness.ts';
import { mayRunShift } from '../api/session.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { routeHref } from '../page/route.ts';

export interface ResultProps {
  readonly check: WireReadiness;
  readonly rig: LiveRig;
  readonly zone: string;
  readonly isLive: boolean;
  readonly onDone: () => Promise<void>;
}

/** What the check comes to, in ink: words, never a lamp. Without a living link nothing is claimed. */
export function Result({ check, rig, zone, isLive }: Omit<ResultProps, 'onDone'>) {
  const { words, session } = useSeat();
  const { result, released } = check;
  const before = check.steps.filter(({ sequence }) => sequence === 'before');
  const done = before.filter(({ state }) => state === 'done').length;
  return (
    <section className="ready__result" aria-label={words.ready.region} data-testid="ready-result" data-state={isLive ? result.state : 'unknown'}>
      <h2 className="ready__rig">
        {rig.name} <span className="soft">{words.ready.progress(done, before.length)}</span>
      </h2>
      <p className="ready__text" data-testid="ready-text" role="status">
        {isLive ? result.text : words.ready.cantSay}
      </p>
      {isLive ? null : <p>{words.ready.cantSayMore}</p>}
      {isLive && released ? <p className="ready__released">{words.ready.releasedBy(released.by, formatClock(Date.parse(released.at), zone, false))}</p> : null}
      {result.state === 'no-shift' ? (
        <div className="ready__keys">
          <p>{words.ready.noShift}</p>
          {mayRunShift(session.role) ? (
            <a className="action action--link" data-testid="ready-start-shift" href={routeHref('shifts', { rig: rig.id }, ['start'])}>
              {words.ready.startShift}
            </a>
          ) : null}
        </div>
      ) : null}
    </section>
  );
}
