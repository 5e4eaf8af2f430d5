import { type SessionRow, readList } from '../api/people.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useAnswer } from '../hooks/use-answer.ts';
import { Failure, Fetched, whenText } from './parts.tsx';
import { useRequest } from './use-request.ts';

/** Sessions that live, of one person or of all; each can be ended, and its pages close at once. */
export function SessionRows({ only, zone }: { readonly only?: string; readonly zone: string }) {
  const { words } = useSeat();
  const told = words.people.sessions;
  const sessions = useAnswer('sessions', () => readList<SessionRow>('/api/sessions'));
  const { isSending, failure, send } = useRequest();
  const end = async (id: string): Promise<void> => {
    await send(`/api/sessions/${encodeURIComponent(id)}`, { method: 'DELETE' });
    sessions.again();
  };
  return (
    <Fetched asked={sessions}>
      {({ items }) => {
        const shown = items.filter(({ name }) => only === undefined || name === only);
        return (
          <>
            <Failure text={failure} />
            {shown.length === 0 ? <p className="soft">{told.none}</p> : null}
            <ul className="rows-list" data-testid="sessions">
              {shown.map(({ id, name, way, startedAt, expiresAt, address, agent, current }) => (
                <li key={id} className="row">
                  <div className="row__what">
                    <strong>
                      {only === undefined ? `${name} ` : ''}
                      {told.from(address, told.ways[way])}
                      {current ? `, ${told.current}` : ''}
                    </strong>
                    <span className="soft">{told.since(whenText(startedAt, zone, words), whenText(expiresAt, zone, words))}</span>
                    <span className="soft row__agent">{agent}</span>
                  </div>
                  <button type="button" className="action action--quiet" data-testid={`end-session-${name}`} disabled={isSending} onClick={() => void end(id)}>
                    {told.end}
                  </button>
                </li>
              ))}
            </ul>
          </>
        );
      }}
    </Fetched>
  );
}
