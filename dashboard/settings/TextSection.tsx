import { useState } from 'react';
import type { LiveSite } from '../../domain/wire/live.ts';
import { readChanges } from '../api/settings.ts';
import { formatClock } from '../format/clock.ts';
import { formatDate } from '../format/day.ts';
import { useAnswer } from '../hooks/use-answer.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { say, useSaving } from './SaveBar.tsx';
import { useDraft } from './use-settings.ts';

/** The file's own text, for who is at home in it, and everything that was changed here. */
export function TextSection({ site }: { site: LiveSite }) {
  const { words } = useSeat();
  const told = words.settingsScreen;
  const draft = useDraft();
  const [text, setText] = useState<string | null>(null);
  const { isSaving, failure, missing, why, setWhy, save } = useSaving();
  const { body: changes } = useAnswer(`${site.id} ${draft.held.version}`, () => readChanges(site.id));
  return (
    <>
      <p className="soft">{told.file.lead}</p>
      <label className="field">
        {draft.held.file}
        <textarea className="file__text" data-testid="file-text" rows={22} spellCheck={false} wrap="off" value={text ?? draft.held.text} readOnly={!draft.mayEdit} onChange={(event) => setText(event.target.value)} />
      </label>
      {text === null || text === draft.held.text ? null : (
        <div className="file__keys">
          <label className="field">
            {told.why}
            <input value={why} data-testid="file-why" autoComplete="off" onChange={(event) => setWhy(event.target.value)} />
          </label>
          <button type="button" className="action" data-testid="file-write" disabled={isSaving} onClick={() => void save(text).then(() => undefined)}>
            {isSaving ? told.saving : told.file.write}
          </button>
          <button type="button" className="action action--quiet" onClick={() => setText(null)}>
            {told.discard}
          </button>
        </div>
      )}
      <pre className="file__wrong" role="alert">
        {missing ? told.whyMissing : failure === null ? '' : failure.detail === '' ? told.unreachable : words.problem(failure.detail)}
      </pre>
      <h3>{told.file.history}</h3>
      {changes && changes.items.length === 0 ? <p className="soft">{told.file.noHistory}</p> : null}
      <ol className="changes" data-testid="changes">
        {changes?.items.map(({ field, at, by, old, new: now, why: because }, index) => (
          <li key={index}>
            <time dateTime={at}>
              {formatDate(Date.parse(at), site.zone, words)} {formatClock(Date.parse(at), site.zone, false)}
            </time>
            <strong>{by}</strong>
            <span>
              <code>{field}</code> {told.file.to(say(old, told.nothing), say(now, told.nothing))}
              {because === null ? null : <em> {because}</em>}
            </span>
          </li>
        ))}
      </ol>
    </>
  );
}
