import { useEffect, useState } from 'react';
import { callApi } from '../../api/call-api.ts';
import { type PushBrowser, readList } from '../../api/people.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { Failure, Fetched, Panel, whenText } from '../parts.tsx';
import { type PushHere, pushHere, pushIdHere, subscribeHere, unsubscribeHere } from './push-here.ts';

/** Being told in this browser while the page is closed, and in which others one is. */
export function PushPanel({ zone }: { readonly zone: string }) {
  const { words } = useSeat();
  const told = words.people.push;
  const browsers = useAnswer('push', () => readList<PushBrowser>('/api/push-subscriptions'));
  const [here, setHere] = useState<PushHere | null>(null);
  const [isWorking, setWorking] = useState(false);
  const [failure, setFailure] = useState('');
  const { body } = browsers;
  useEffect(() => {
    if (body) void pushHere(body.items.map(({ id }) => id)).then(setHere);
  }, [body]);
  const act = async (what: () => Promise<string | null>): Promise<void> => {
    setWorking(true);
    const why = await what();
    setWorking(false);
    setFailure(why === null ? '' : why === '' ? told.blocked : told.refused(words.problem(why)));
    browsers.again();
  };
  return (
    <Panel title={told.region} testId="push-here">
      <Fetched asked={browsers}>
        {({ items }) => (
          <>
            <p role="status" data-testid="push-state" data-state={here ?? ''}>
              {isWorking ? told.working : here === null ? '' : told[here]}
            </p>
            <Failure text={failure} />
            <div className="panel__keys">
              {here === 'off' ? (
                <button type="button" className="action" data-testid="push-on" disabled={isWorking} onClick={() => void act(subscribeHere)}>
                  {told.turnOn}
                </button>
              ) : null}
              {here === 'on' ? (
                <button type="button" className="action" data-testid="push-off" disabled={isWorking} onClick={() => void act(unsubscribeHere)}>
                  {told.turnOff}
                </button>
              ) : null}
            </div>
            <h3>{told.others}</h3>
            {items.length === 0 ? <p className="soft">{told.noOthers}</p> : null}
            <ul className="rows-list">
              {items.map(({ id, agent, madeAt }) => (
                <li key={id} className="row">
                  <div className="row__what">
                    <strong>{agent}</strong>
                    <span className="soft">
                      {told.since(whenText(madeAt, zone, words))}
                      {here === 'on' && id === pushIdHere() ? `, ${told.here}` : ''}
                    </span>
                  </div>
                  <button type="button" className="action action--quiet" onClick={() => void act(async () => (await callApi(`/api/push-subscriptions/${encodeURIComponent(id)}`, { method: 'DELETE' })).ok ? null : words.people.failed(''))}>
                    {told.remove}
                  </button>
                </li>
              ))}
            </ul>
          </>
        )}
      </Fetched>
    </Panel>
  );
}
