import { SETUP_QUANTITIES, SETUP_TEXTS } from '../../api/shift-shapes.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import type { SetupDraft } from './setup-draft.ts';

/** The rig as it is set up: lengths with their unit as people write them, the rest in words. */
export function SetupFields({ draft, onChange }: { draft: SetupDraft; onChange: (draft: SetupDraft) => void }) {
  const { words } = useSeat();
  return (
    <fieldset className="setup-fields">
      <legend>{words.shifts.startForm.setup}</legend>
      {SETUP_QUANTITIES.map((name) => (
        <label key={name} className="field">
          {words.shifts.setup[name]}
          <input name={name} autoComplete="off" placeholder={words.shifts.startForm.examples[name]} value={draft[name]} onChange={(event) => onChange({ ...draft, [name]: event.target.value })} />
        </label>
      ))}
      {SETUP_TEXTS.map((name) => (
        <label key={name} className={name === 'notes' ? 'field field--wide' : 'field'}>
          {words.shifts.setup[name]}
          <input name={name} autoComplete="off" maxLength={200} placeholder={words.shifts.startForm.examples[name]} value={draft[name]} onChange={(event) => onChange({ ...draft, [name]: event.target.value })} />
        </label>
      ))}
    </fieldset>
  );
}
