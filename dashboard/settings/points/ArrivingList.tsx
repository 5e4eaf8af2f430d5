import { useEffect, useState } from 'react';
import { type Arriving, lookAround, readArriving } from '../../api/settings.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useDraft } from '../use-settings.ts';
import { MapTopic } from './MapTopic.tsx';
import type { PointOwner } from './owners.ts';

/** Often enough to see one's own sensor come, seldom enough to cost nothing. */
const LOOK_MS = 2_000;
/** The gateway goes on for a minute each time. */
const ASK_ON_MS = 30_000;

export interface ArrivingListProps {
  readonly site: string;
  readonly owners: readonly PointOwner[];
  readonly onTaken: (point: string) => void;
}

/** Topics as they are heard, what they say and what they feed. */
export function ArrivingList({ site, owners, onTaken }: ArrivingListProps) {
  const { words } = useSeat();
  const told = words.settingsScreen.points;
  const draft = useDraft();
  const [used, setUsed] = useState<string | null>(null);
  const [onlyNew, setOnlyNew] = useState(true);
  const { body, failure, again } = useAnswer(site, () => readArriving(site));
  useEffect(() => {
    const timer = setInterval(again, LOOK_MS);
    return () => clearInterval(timer);
  }, [again]);
  const isElsewhere = draft.get(['mqtt', 'url']) !== undefined;
  useEffect(() => {
    if (!isElsewhere) return;
    const look = (): void => void lookAround(site);
    look();
    const timer = setInterval(look, ASK_ON_MS);
    return () => clearInterval(timer);
  }, [site, isElsewhere]);
  const topics = (body?.items ?? []).filter(({ feeds, topic }) => !onlyNew || feeds.length === 0 || topic === used);
  const taken = new Set(owners.flatMap(({ path }) => Object.values((draft.get(path) ?? {}) as Readonly<Record<string, { readonly topic?: string }>>).map(({ topic }) => topic)));
  return (
    <section className="arriving" aria-label={told.arriving} data-testid="arriving">
      <h3>{told.arriving}</h3>
      <label className="tick">
        <input type="checkbox" checked={onlyNew} onChange={(event) => setOnlyNew(event.target.checked)} />
        <span>{told.only}</span>
      </label>
      {failure !== null ? <p role="status">{told.gatewayUnknown}</p> : topics.length === 0 ? <p className="soft">{told.none}</p> : null}
      <ul>
        {topics.map((heard) => (
          <Topic key={heard.topic} heard={heard} isUsed={heard.topic === used} isTaken={taken.has(heard.topic)} onUse={() => setUsed(heard.topic === used ? null : heard.topic)}>
            <MapTopic
              heard={heard}
              owners={owners}
              onTaken={(point) => {
                setUsed(null);
                onTaken(point);
              }}
            />
          </Topic>
        ))}
      </ul>
    </section>
  );
}

function Topic({ heard, isUsed, isTaken, onUse, children }: { heard: Arriving; isUsed: boolean; isTaken: boolean; onUse: () => void; children: React.ReactNode }) {
  const { words } = useSeat();
  const told = words.settingsScreen.points;
  return (
    <li className="topic" data-testid="topic" data-topic={heard.topic}>
      <div className="topic__head">
        <code>{heard.topic}</code>
        <button type="button" className="action action--quiet" aria-expanded={isUsed} aria-label={isUsed ? told.close : told.useOf(heard.topic)} onClick={onUse}>
          {isUsed ? told.close : told.use}
        </button>
      </div>
      <p className="topic__sample">{heard.sample}</p>
      <p className="soft">
        {told.perMinute(Math.round(heard.perMinute), heard.count)}, {heard.feeds.length > 0 ? told.feeds(heard.feeds.join(', ')) : isTaken ? told.willFeed : told.feedsNothing}
        {heard.trouble !== null && heard.feeds.length > 0 ? `. ${heard.trouble}` : ''}
      </p>
      {isUsed ? children : null}
    </li>
  );
}
