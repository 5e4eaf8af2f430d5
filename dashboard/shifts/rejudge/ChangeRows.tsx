import { useSeat } from '../../hooks/desk-context.ts';
import { Select } from '../../ui/Select.tsx';
import { type DraftChange, NO_SETTINGS, SETTINGS, type TriableRule } from './rule-settings.ts';

export interface ChangeRowsProps {
  readonly drafts: readonly DraftChange[];
  readonly rules: readonly TriableRule[];
  readonly onChange: (drafts: readonly DraftChange[]) => void;
}

/** One line an alarm: what stays empty stays as it is in force. */
export function ChangeRows({ drafts, rules, onChange }: ChangeRowsProps) {
  const { words } = useSeat();
  const told = words.shifts.rejudge;
  const change = (index: number, part: Partial<DraftChange>): void => onChange(drafts.map((draft, at) => (at === index ? { ...draft, ...part } : draft)));
  const taken = (index: number, name: string): boolean => drafts.some((draft, at) => at !== index && draft.alarm === name);
  return (
    <fieldset className="changes">
      <legend>{told.changes}</legend>
      {drafts.map((draft, index) => {
        const rule = rules.find((one) => one.name === draft.alarm);
        return (
          <div key={index} className="changes__row" data-testid="change">
            <Select label={told.alarm} value={draft.alarm} options={rules.filter((one) => !taken(index, one.name)).map((one) => [one.name, one.title])} onChange={(alarm) => change(index, { alarm, settings: NO_SETTINGS })} />
            {SETTINGS.map((setting) => (
              <label key={setting} className="field">
                {told.settings[setting]}
                <input
                  name={setting}
                  autoComplete="off"
                  disabled={rule?.shipped[setting] === undefined}
                  placeholder={rule?.shipped[setting] === undefined ? told.none : rule.shipped[setting] === '' ? told.fromRig : rule.shipped[setting]}
                  value={draft.settings[setting]}
                  onChange={(event) => change(index, { settings: { ...draft.settings, [setting]: event.target.value } })}
                />
              </label>
            ))}
            {drafts.length > 1 ? (
              <button type="button" className="action action--quiet" aria-label={told.lessOf(rule?.title ?? '')} onClick={() => onChange(drafts.filter((_, at) => at !== index))}>
                {words.shifts.startForm.remove}
              </button>
            ) : null}
          </div>
        );
      })}
      <button
        type="button"
        className="action action--quiet"
        data-testid="change-more"
        onClick={() => onChange([...drafts, { alarm: rules.find((one) => !taken(-1, one.name))?.name ?? '', settings: NO_SETTINGS }])}
      >
        {told.moreAlarms}
      </button>
      <p className="soft">{told.shippedNote}</p>
    </fieldset>
  );
}
