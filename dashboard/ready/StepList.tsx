import { useState } from 'react';
import type { LiveRig } from '../../domain/wire/live.ts';
import type { WireReadiness, WireStep } from '../../domain/wire/readiness.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { StepCard } from './StepCard.tsx';
import { StepMark } from './StepMark.tsx';

export interface StepListProps {
  readonly steps: readonly WireStep[];
  readonly all: readonly WireStep[];
  readonly check: WireReadiness;
  readonly rig: LiveRig;
  readonly zone: string;
  readonly onDone: () => Promise<void>;
}

/** The steps as couplings on one line, from the ground to the nozzle. One is open at a time, and only a person opens it. */
export function StepList({ steps, zone, ...rest }: StepListProps) {
  const { words } = useSeat();
  const [open, setOpen] = useState(() => steps.find(({ state }) => state !== 'done')?.id ?? null);
  return (
    <ol className="steps">
      {steps.map((step, index) => {
        const isOpen = step.id === open;
        const { signed } = step;
        return (
          <li key={step.id} className="step" data-testid={`step-${step.id}`} data-state={step.state} data-open={isOpen || undefined}>
            <button type="button" className="step__head" aria-expanded={isOpen} onClick={() => setOpen(isOpen ? null : step.id)}>
              <StepMark state={step.state} number={index + 1} />
              <span className="step__title">{step.title}</span>
              <span className="step__state">
                {signed && step.state === 'done' ? words.ready.signed(signed.by, words.roles[signed.role as keyof typeof words.roles] ?? signed.role, formatClock(Date.parse(signed.at), zone, false)) : step.state === 'open' ? words.ready.states.open : step.state === 'again' || step.state === 'expired' ? step.why : `${words.ready.states[step.state]}: ${step.why}`}
              </span>
            </button>
            {isOpen ? <StepCard step={step} zone={zone} {...rest} onSigned={() => setOpen(nextOpen(steps, step.id))} /> : null}
          </li>
        );
      })}
    </ol>
  );
}

/** After a signature the next step that waits. */
function nextOpen(steps: readonly WireStep[], after: string): string | null {
  const at = steps.findIndex(({ id }) => id === after);
  return steps.slice(at + 1).find(({ state }) => state !== 'done')?.id ?? null;
}
