import { useRef } from 'react';
import { formatClock } from '../../format/clock.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';
import type { ScreenProps } from '../../page/screen-props.ts';
import { isUnacknowledged } from '../alarm-state.ts';
import { type Entry, groupAlarms } from '../group-alarms.ts';
import { AlarmEntry } from './AlarmEntry.tsx';
import { useAskedAlarm } from './use-asked-alarm.ts';
import { useListOrder } from './use-list-order.ts';

export interface AlarmListProps extends ScreenProps {
  /** The alarm that a message led to. */
  readonly asked: string | null;
}

/** What stands. Each place keeps still while somebody reads; what is new shows in the strip above at once. */
export function AlarmList({ site, alarms, flood, isLive, asked }: AlarmListProps) {
  const { words } = useSeat();
  const box = useRef<HTMLDivElement>(null);
  const [openId, setOpenId] = useAskedAlarm(asked, alarms, box);
  const entries = groupAlarms(alarms, flood !== null);
  const byKey = new Map(entries.map((entry) => [entry.key, entry]));
  const { order, isOutOfOrder, renew } = useListOrder(entries.map((e) => e.key), box, openId !== null);
  const lastSeen = useRef(new Map<string, Entry>());
  for (const entry of entries) lastSeen.current.set(entry.key, entry);
  const fresh = new Set(order.fresh);
  const newCount = order.isHeld ? order.shown.filter((key, index) => fresh.has(key) && order.fresh.indexOf(key) < index).length : 0;

  const places = order.shown.flatMap((key): readonly { entry: Entry; isGone: boolean }[] => {
    const now = byKey.get(key);
    if (now) return [{ entry: now, isGone: false }];
    // What has gone, or now stands under another, keeps its place until the order is renewed.
    const before = lastSeen.current.get(key);
    const standing = alarms.find((a) => a.id === key);
    return before ? [{ entry: { ...before, lead: standing ?? before.lead, rest: [], kind: 'alone' }, isGone: !entries.some((e) => e.rest.some((a) => a.id === key)) }] : [];
  });
  return (
    <>
      <div className="list-head" data-flood={flood ? true : undefined} data-testid="list-head">
        <p className="list-head__note" data-testid={flood ? 'flood-banner' : undefined} role="status">
          {flood ? (
            <>
              <strong>{words.alarms.flood(flood.count, Math.round(flood.windowMs / 60_000))}</strong> {words.alarms.floodSince(formatClock(flood.sinceMs, site.zone, false))}
            </>
          ) : order.isHeld && isOutOfOrder ? (
            `${words.alarms.held}${newCount > 0 ? `, ${words.alarms.heldNew(newCount)}` : ''}`
          ) : (
            places.length === 0 ? '' : words.alarms.summary(alarms.filter((a) => isUnacknowledged(a.state)).length)
          )}
        </p>
        <button type="button" className="action list-head__renew" data-testid="new-order" hidden={!isOutOfOrder} onClick={renew}>
          {words.alarms.newOrder}
        </button>
      </div>
      {asked !== null && isLive && !alarms.some((a) => a.id === asked) ? (
        <p className="list-head__note" role="status" data-testid="asked-over">
          {words.alarms.askedOver} <a href={routeHref('alarms/journal', { alarm: asked })}>{words.alarms.journal}</a>
        </p>
      ) : null}
      <div className="entries" ref={box} data-testid="alarm-list" data-held={order.isHeld || undefined}>
        {places.map(({ entry, isGone }) => (
          <AlarmEntry key={entry.key} entry={entry} isGone={isGone} site={site} alarms={alarms} isFlood={flood !== null} isLive={isLive} openId={openId} onOpen={setOpenId} />
        ))}
        {places.length === 0 ? <p className="strip__none entries__none">{isLive ? words.alarms.none : words.alarms.unknown}</p> : null}
      </div>
    </>
  );
}
