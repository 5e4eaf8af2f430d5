import { type FormEvent, useState } from 'react';
import { useSeat } from '../hooks/desk-context.ts';
import { type SaveFailure, useDraft } from './use-settings.ts';

/** What would be written, field by field, and the word that writes it: always in the same place, there whether it is needed or not. */
export function SaveBar() {
  const { words } = useSeat();
  const told = words.settingsScreen;
  const draft = useDraft();
  const { isSaving, failure, missing, why, setWhy, save } = useSaving();
  const { changes, problems } = draft;
  if (!draft.mayEdit) return null;
  if (changes.length === 0) return <p className="save__said" role="status" data-testid="saved">{draft.saved === null ? '' : told.saved[draft.saved]}</p>;
  const onSubmit = (event: FormEvent): void => {
    event.preventDefault();
    void save();
  };
  return (
    <form className="save" aria-label={told.saveBar} data-testid="save-bar" onSubmit={onSubmit}>
      <details>
        <summary data-testid="save-changes">
          <strong>{told.changed(changes.length)}</strong> {problems.size > 0 ? <em>{told.wrong(problems.size)}</em> : null}
        </summary>
        <ul>
          {changes.map(({ field, old, new: now }) => (
            <li key={field}>
              <code>{field}</code> {say(now, told.nothing)} <span className="soft">{told.was} {say(old, told.nothing)}</span>
            </li>
          ))}
          {[...problems].map(([field, problem]) => (
            <li key={`wrong ${field}`} className="save__wrong">
              <code>{field}</code> {problem}
            </li>
          ))}
        </ul>
      </details>
      <label className="field save__why">
        {told.why}
        <input value={why} data-testid="save-why" autoComplete="off" maxLength={1000} onChange={(event) => setWhy(event.target.value)} />
      </label>
      <button type="submit" className="action" data-testid="save" disabled={isSaving || problems.size > 0}>
        {isSaving ? told.saving : told.save}
      </button>
      <button type="button" className="action action--quiet" data-testid="discard" onClick={draft.discard}>
        {failure?.isChangedMeanwhile ? told.loadAgain : told.discard}
      </button>
      <p className="save__failure" role="alert">
        {missing ? told.whyMissing : failure === null ? '' : failure.detail === '' ? told.unreachable : words.problem(failure.detail)}
      </p>
    </form>
  );
}

/** Writing with a reason: no reason, no writing. */
export function useSaving(): { readonly isSaving: boolean; readonly failure: SaveFailure | null; readonly missing: boolean; readonly why: string; setWhy(why: string): void; save(text?: string): Promise<void> } {
  const draft = useDraft();
  const [why, setWhy] = useState('');
  const [missing, setMissing] = useState(false);
  const [isSaving, setSaving] = useState(false);
  const [failure, setFailure] = useState<SaveFailure | null>(null);
  return {
    isSaving,
    failure,
    missing: missing && why.trim() === '',
    why,
    setWhy,
    async save(text) {
      setMissing(why.trim() === '');
      if (why.trim() === '') return;
      setSaving(true);
      const failed = await draft.save(why.trim(), text);
      setSaving(false);
      setFailure(failed);
      if (failed === null) setWhy('');
    },
  };
}

export function say(value: unknown, nothing: string): string {
  if (value === null || value === undefined) return nothing;
  return typeof value === 'string' ? value : JSON.stringify(value);
}
