/** A rig's shift, from its start to its end. Signing off and sealing come after the end. */
export interface Shift {
  readonly id: string;
  readonly rig: string;
  readonly startedAtMs: number;
  readonly startedBy: string;
  readonly endedAtMs: number | null;
}

export type ShiftAction =
  | { readonly kind: 'start-shift'; readonly rig: string; readonly by: string }
  | { readonly kind: 'end-shift'; readonly shift: string; readonly by: string };

export interface ShiftStep {
  /** Open shifts only: ended ones are in the record. */
  readonly shifts: readonly Shift[];
  /** The shift as it stands after being started or ended. */
  readonly made: Shift | null;
  readonly refusal: string | null;
}

/** Starts or ends a shift. A rig has at most one open at a time. */
export function nextShifts(shifts: readonly Shift[], action: ShiftAction, atMs: number, isRig: (id: string) => boolean, newId: () => string): ShiftStep {
  if (action.kind === 'end-shift') {
    const open = shifts.find((shift) => shift.id === action.shift);
    if (!open) return { shifts, made: null, refusal: 'this shift is not open' };
    return { shifts: shifts.filter((shift) => shift !== open), made: { ...open, endedAtMs: atMs }, refusal: null };
  }
  if (!isRig(action.rig)) return { shifts, made: null, refusal: `there is no rig ${action.rig}` };
  const open = shifts.find((shift) => shift.rig === action.rig);
  if (open) return { shifts, made: null, refusal: `rig ${action.rig} already has a shift open, started by ${open.startedBy}` };
  const shift: Shift = { id: newId(), rig: action.rig, startedAtMs: atMs, startedBy: action.by, endedAtMs: null };
  return { shifts: [...shifts, shift], made: shift, refusal: null };
}
