import type { ShiftState } from '../api/shift-shapes.ts';
import { useSeat } from '../hooks/desk-context.ts';

const STEPS: Readonly<Record<ShiftState, number>> = { open: 1, ended: 2, 'signed-once': 3, sealed: 4 };

/** How far a shift has come, as four steps that fill up: started, ended, checked, approved. Words beside it say the same. */
export function StateMark({ state }: { state: ShiftState }) {
  const { words } = useSeat();
  return (
    <span className="state-mark" data-state={state}>
      <svg viewBox="0 0 74 16" aria-hidden="true" focusable="false">
        {[0, 1, 2, 3].map((step) => (
          <rect key={step} x={1.5 + step * 18} y="1.5" width="14" height="13" className="state-mark__step" data-done={step < STEPS[state] || undefined} />
        ))}
      </svg>
      {words.shifts.states[state]}
    </span>
  );
}
