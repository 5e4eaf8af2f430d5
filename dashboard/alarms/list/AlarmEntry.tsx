import { useState } from 'react';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { isUnacknowledged } from '../alarm-state.ts';
import type { Entry } from '../group-alarms.ts';
import { whereOf } from '../where-of.ts';
import { AlarmRow } from './AlarmRow.tsx';
import { FollowerRow } from './FollowerRow.tsx';
import { HaveGroup } from './HaveGroup.tsx';

export interface AlarmEntryProps {
  readonly entry: Entry;
  readonly isGone: boolean;
  readonly site: LiveSite;
  readonly alarms: readonly LiveAlarm[];
  readonly isFlood: boolean;
  readonly isLive: boolean;
  readonly openId: string | null;
  readonly onOpen: (id: string | null) => void;
}

/** As many followers as are read at a glance; more are folded until somebody wants them. */
const SHOWN_UNFOLDED = 3;

/** One place in the list: an alarm, and under it what followed from it, in the order in which it came. */
export function AlarmEntry({ entry, isGone, site, alarms, isFlood, isLive, openId, onOpen }: AlarmEntryProps) {
  const { words } = useSeat();
  const [isUnfolded, setUnfolded] = useState<boolean | null>(null);
  const { lead, rest, kind } = entry;
  const leader = kind === 'alone' && lead.group !== null && lead.group !== lead.id ? (alarms.find((a) => a.id === lead.group) ?? null) : null;
  const isShown = isUnfolded ?? (rest.length <= SHOWN_UNFOLDED && !isFlood);
  const free = rest.filter((a) => isUnacknowledged(a.state));
  const row = (alarm: LiveAlarm, follows: LiveAlarm | null) => (
    <AlarmRow alarm={alarm} follows={follows} site={site} isLive={isLive} isOpen={openId === alarm.id} onToggle={() => onOpen(openId === alarm.id ? null : alarm.id)} />
  );
  return (
    <section className="entry" data-testid={`entry-${entry.key}`} data-kind={kind} data-gone={isGone || undefined}>
      {row(lead, leader)}
      {isGone ? <p className="entry__gone">{words.alarms.gone}</p> : null}
      {rest.length > 0 ? (
        <div className="followers" data-testid={`followers-${entry.key}`}>
          <div className="followers__head">
            <p className="followers__sum">
              <strong>{kind === 'cause' ? words.alarms.follows(rest.length) : words.alarms.alsoHere(rest.length, whereOf(lead, site, words.alarms.site))}</strong>
              <span>{sumUp(rest)}</span>
              <span className="followers__free">{free.length > 0 ? words.alarms.nobodyHas(free.length) : words.alarms.allInHand}</span>
            </p>
            <HaveGroup alarms={free} />
            <button type="button" className="action action--quiet" data-testid="unfold" aria-expanded={isShown} onClick={() => setUnfolded(!isShown)}>
              {isShown ? words.alarms.fold : words.alarms.unfold}
            </button>
          </div>
          {isShown
            ? rest.map((alarm) => (openId === alarm.id ? <div key={alarm.id}>{row(alarm, null)}</div> : <FollowerRow key={alarm.id} alarm={alarm} site={site} onOpen={() => onOpen(alarm.id)} />))
            : null}
        </div>
      ) : null}
    </section>
  );
}

/** What is folded, told in one line: each kind once, with how many. */
function sumUp(alarms: readonly LiveAlarm[]): string {
  const counts = new Map<string, number>();
  for (const alarm of alarms) counts.set(alarm.title, (counts.get(alarm.title) ?? 0) + 1);
  return [...counts].map(([title, n]) => (n === 1 ? title : `${n} × ${title}`)).join(', ');
}
