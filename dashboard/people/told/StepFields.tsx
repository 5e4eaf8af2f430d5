import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import { Text } from '../parts.tsx';
import type { StepDraft, Told } from './plan-draft.ts';

export interface StepFieldsProps {
  readonly priority: Told;
  readonly steps: readonly StepDraft[];
  readonly options: readonly { readonly id: string; readonly label: string }[];
  readonly onChange: (steps: readonly StepDraft[]) => void;
}

/** The steps of one plan: when, and who. */
export function StepFields({ priority, steps, options, onChange }: StepFieldsProps) {
  const { words } = useSeat();
  const told = words.people.messages;
  const change = (index: number, part: Partial<StepDraft>): void => onChange(steps.map((step, at) => (at === index ? { ...step, ...part } : step)));
  return (
    <fieldset className="plan-fields" data-testid={`steps-${priority}`}>
      <legend>
        <PriorityMark priority={priority} /> {words.priorities[priority]}
      </legend>
      {steps.map(({ after, to }, index) => (
        <div key={index} className="plan-fields__step">
          <Text label={told.afterField} maxLength={10} value={after} onChange={(next) => change(index, { after: next })} />
          <fieldset className="ticks">
            <legend>{told.toField}</legend>
            {options.map(({ id, label }) => (
              <label key={id} className="tick">
                <input type="checkbox" checked={to.includes(id)} onChange={() => change(index, { to: to.includes(id) ? to.filter((one) => one !== id) : [...to, id] })} />
                {label}
              </label>
            ))}
          </fieldset>
          <button type="button" className="action action--quiet" aria-label={`${words.priorities[priority]}: ${told.lessStep(index + 1)}`} onClick={() => onChange(steps.filter((_, at) => at !== index))}>
            {told.remove}
          </button>
        </div>
      ))}
      <button type="button" className="action action--quiet" onClick={() => onChange([...steps, { after: steps.length === 0 ? '0s' : `${steps.length}min`, to: [] }])}>
        {told.addStep}
      </button>
    </fieldset>
  );
}
