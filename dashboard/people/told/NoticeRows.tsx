import { type NoticeRow, readList } from '../../api/people.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import { Fetched, Panel, whenText } from '../parts.tsx';

/** What was sent, newest first, and what became of each message. */
export function NoticeRows({ site, zone }: { readonly site: string; readonly zone: string }) {
  const { words } = useSeat();
  const told = words.people.messages;
  const notices = useAnswer(`notices ${site}`, () => readList<NoticeRow>(`/api/notices?site=${encodeURIComponent(site)}`));
  return (
    <Panel title={told.record} testId="notices">
      <Fetched asked={notices}>
        {({ items }) => (
          <>
            {items.length === 0 ? <p className="soft">{told.noRecord}</p> : null}
            <ul className="rows-list">
              {items.map((notice) => (
                <li key={notice.id} className="row row--tall">
                  <div className="row__what">
                    <strong>
                      {notice.priority === null ? null : <PriorityMark priority={notice.priority} />} {notice.kind === 'seal' ? told.sealed(notice.owner) : `${notice.title}, ${notice.owner}`}
                    </strong>
                    <span className="soft">
                      {whenText(notice.raisedAt, zone, words)}: {notice.endedWhy ?? told.open}
                    </span>
                    <ul className="deliveries">
                      {notice.deliveries.map(({ id, round, step, person, channel, state, attempts, result }) => (
                        <li key={`${id} ${person} ${round} ${step}`} data-state={state}>
                          {person ?? told.channelNames.webhook}
                          {person === null ? '' : `, ${told.channelNames[channel]}`}: <strong>{told.states[state]}</strong>
                          {attempts > 0 ? `, ${told.attempts(attempts)}` : ''}
                          {result === null ? null : <span className="soft"> {result}</span>}
                        </li>
                      ))}
                    </ul>
                  </div>
                </li>
              ))}
            </ul>
          </>
        )}
      </Fetched>
    </Panel>
  );
}
