import { findPointKind } from '../../../domain/points/catalogue.ts';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { mayShelve, mayTakeOutOfService } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';
import { useState } from 'react';
import { isUnacknowledged } from '../alarm-state.ts';
import { AsideDialog } from '../aside/AsideDialog.tsx';
import { RecentTrace } from './RecentTrace.tsx';

/** All that is known of one alarm: what to do first, then why and what else. */
export function AlarmCard({ alarm, site, isLive, state }: { alarm: LiveAlarm; site: LiveSite; isLive: boolean; state: string }) {
  const { words, session } = useSeat();
  const [dialog, setDialog] = useState<'shelve' | 'out-of-service' | null>(null);
  const isQuantity = !(findPointKind(alarm.point)?.state ?? false);
  const isHornOn = alarm.acknowledgedBy !== null && !alarm.silencedAtRig && !isUnacknowledged(alarm.state) && alarm.sound !== 'none' && alarm.rig !== null;
  return (
    <div className="card" data-testid={`card-${alarm.id}`}>
      <dl className="card__advice">
        <div data-first>
          <dt>{words.alarms.response}</dt>
          <dd>{alarm.response}</dd>
        </div>
        <div>
          <dt>{words.alarms.within}</dt>
          <dd>{alarm.respondWithin}</dd>
        </div>
        <div>
          <dt>{words.alarms.cause}</dt>
          <dd>{alarm.cause}</dd>
        </div>
        <div>
          <dt>{words.alarms.consequence}</dt>
          <dd>{alarm.consequence}</dd>
        </div>
        <div>
          <dt>{words.alarms.who}</dt>
          <dd>
            {alarm.acknowledgedBy === null ? words.alarms.nobody : state}
            {isHornOn ? ` ${words.alarms.hornOn}` : ''}
          </dd>
        </div>
        <div>
          <dt>{words.alarms.source}</dt>
          <dd>{alarm.limitSource}</dd>
        </div>
      </dl>
      <div className="card__trace">{isQuantity ? <RecentTrace alarm={alarm} site={site} isLive={isLive} /> : <p className="soft">{words.alarms.noTrace}</p>}</div>
      <div className="card__orders">
        {mayShelve(session.role, alarm.shelvableBy) ? (
          <button type="button" className="action action--quiet" data-testid="shelve" onClick={() => setDialog('shelve')}>
            {words.aside.shelve}
          </button>
        ) : null}
        {mayTakeOutOfService(session.role, alarm.shelvableBy) ? (
          <button type="button" className="action action--quiet" data-testid="take-out" onClick={() => setDialog('out-of-service')}>
            {words.aside.takeOut}
          </button>
        ) : null}
        <a className="action action--quiet action--link" href={routeHref('alarms/journal', { alarm: alarm.id })}>
          {words.alarms.journalOf}
        </a>
      </div>
      {dialog ? <AsideDialog kind={dialog} alarm={alarm} site={site} onClose={() => setDialog(null)} /> : null}
    </div>
  );
}
