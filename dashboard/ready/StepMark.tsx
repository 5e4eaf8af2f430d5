import type { WireStep } from '../../domain/wire/readiness.ts';

/** A coupling on the line: closed where the step is done, open where not; crossed where somebody or a sensor says no. */
export function StepMark({ state, number }: { state: WireStep['state']; number: number }) {
  const isShut = state === 'done';
  const isNo = state === 'failed' || state === 'not-so';
  return (
    <svg className="step__mark" viewBox="0 0 56 56" aria-hidden="true" focusable="false">
      <rect className="step__body" data-shut={isShut || undefined} x="8" y="8" width="40" height="40" rx="6" />
      <text className="step__number" data-shut={isShut || undefined} x="28" y="35" textAnchor="middle">
        {number}
      </text>
      {isNo ? <path className="step__cross" d="M6 6 50 50M50 6 6 50" /> : null}
      {state === 'again' || state === 'expired' ? <path className="step__cross" d="M8 30a20 20 0 1 1 6 13M14 50v-8h9" /> : null}
      {/* The two pins, drawn only where they are in. */}
      {isShut ? <path className="step__pins" d="M2 28h8M46 28h8" /> : null}
    </svg>
  );
}
