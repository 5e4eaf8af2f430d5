import { useState } from 'react';
import type { List, TestRow } from '../../api/people.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Failure, Panel } from '../parts.tsx';
import { useRequest } from '../use-request.ts';

/** Each channel has ten seconds to answer. */
const WAITS_MS = 20_000;

export function TestPanel({ site, onTested }: { readonly site: string; readonly onTested: () => void }) {
  const { words } = useSeat();
  const told = words.people.messages;
  const { isSending, failure, send } = useRequest();
  const [results, setResults] = useState<readonly TestRow[] | null>(null);
  const test = async (): Promise<void> => {
    const answer = await send<List<TestRow>>('/api/notices/test', { method: 'POST', body: { site }, timeoutMs: WAITS_MS });
    if (answer.ok) setResults(answer.body.items);
    onTested();
  };
  return (
    <Panel title={told.test} testId="test-all">
      <p>{told.testMore}</p>
      <Failure text={failure} />
      <div className="panel__keys">
        <button type="button" className="action" data-testid="test-do" disabled={isSending} onClick={() => void test()}>
          {isSending ? told.testing : told.test}
        </button>
        <p role="status" data-testid="test-sum">
          {results === null ? '' : results.length === 0 ? told.testNobody : told.tested(results.filter(({ accepted }) => accepted).length, results.length)}
        </p>
      </div>
      <ul className="rows-list">
        {results?.map(({ person, channel, accepted, detail }, index) => (
          <li key={index} className="row">
            <div className="row__what">
              <strong>{person ?? told.channelNames[channel]}</strong>
              <span>
                {told.channelNames[channel]}: {accepted ? told.states.accepted : told.states.dead}
              </span>
              <span className="soft">{detail}</span>
            </div>
          </li>
        ))}
      </ul>
    </Panel>
  );
}
