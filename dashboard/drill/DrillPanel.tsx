import { useEffect, useState } from 'react';
import type { LiveSite } from '../../domain/wire/live.ts';
import { callApi } from '../api/call-api.ts';
import { idempotencyKey } from '../api/idempotency-key.ts';
import { useSeat } from '../hooks/desk-context.ts';

interface Scenario {
  readonly name: string;
  readonly summary: string;
}

/** The scenarios to practise, and the end of the one that runs. What was done comes by push, to this screen as to all others. */
export function DrillPanel({ site, onClose }: { site: LiveSite; onClose: () => void }) {
  const { words } = useSeat();
  const [scenarios, setScenarios] = useState<readonly Scenario[]>([]);
  const [failure, setFailure] = useState<string | null>(null);
  const [isSending, setSending] = useState(false);
  useEffect(() => {
    let isGone = false;
    void callApi<{ scenarios: readonly Scenario[] }>('/api/drills').then((answer) => {
      if (isGone) return;
      if (answer.ok) setScenarios(answer.body.scenarios);
      else setFailure(answer.status === 0 ? words.alarms.failedUnreachable : words.problem(answer.detail));
    });
    return () => {
      isGone = true;
    };
  }, [words]);
  const order = async (method: 'POST' | 'DELETE', body?: unknown): Promise<void> => {
    setSending(true);
    setFailure(null);
    const answer = await callApi(`/api/sites/${encodeURIComponent(site.id)}/drills`, { method, key: idempotencyKey(), ...(body === undefined ? {} : { body }) });
    setSending(false);
    if (answer.ok) onClose();
    else setFailure(answer.status === 0 ? words.alarms.failedUnreachable : words.problem(answer.detail));
  };
  return (
    <section className="drill" role="group" aria-label={words.drill.title} data-testid="drill-panel">
      <h2>{words.drill.title}</h2>
      <p>{words.drill.about}</p>
      {failure ? <p role="alert">{failure}</p> : null}
      {site.drill ? (
        <button type="button" className="action" data-testid="drill-end" disabled={isSending} onClick={() => void order('DELETE')}>
          {words.drill.end(site.drill.scenario)}
        </button>
      ) : (
        <ul className="drill__list">
          {scenarios.map(({ name, summary }) => (
            <li key={name}>
              <button type="button" className="action" data-testid={`drill-start-${name}`} disabled={isSending} onClick={() => void order('POST', { scenario: name })}>
                {words.drill.start}
              </button>
              <p>
                <strong>{name.replaceAll('-', ' ')}</strong> {summary}
              </p>
            </li>
          ))}
        </ul>
      )}
      <p className="soft">{words.drill.duty}</p>
    </section>
  );
}
