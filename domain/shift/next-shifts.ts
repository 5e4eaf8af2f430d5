import { type Calibration, type CrewMember, type Meaning, NO_SETUP, type Shift, type ShiftItemBody, type ShiftSetup, setupRefusal } from './shift.ts';

export type ShiftAction =
  | { readonly kind: 'start-shift'; readonly rig: string; readonly crew?: readonly CrewMember[]; readonly setup?: ShiftSetup; readonly calibrations?: readonly Calibration[]; readonly drill?: boolean }
  | { readonly kind: 'end-shift'; readonly shift: string }
  | { readonly kind: 'change-setup'; readonly shift: string; readonly setup: ShiftSetup }
  | { readonly kind: 'hand-over'; readonly shift: string; readonly to: string; readonly text: string }
  | { readonly kind: 'note'; readonly shift: string; readonly text: string; readonly placedAtMs: number | null; readonly point: string | null; readonly photo: string | null }
  /** The bytes are in the record, under their SHA-256. */
  | { readonly kind: 'add-photo'; readonly shift: string; readonly photo: string; readonly mediaType: string; readonly size: number }
  /** `sealed`: the root and the rig of a shift that is sealed and so no longer among those at hand. */
  | { readonly kind: 'correct'; readonly shift: string; readonly of: string; readonly text: string; readonly sealed: { readonly rig: string; readonly root: string } | null }
  | { readonly kind: 'sign-off'; readonly shift: string; readonly meaning: Meaning }
  /** Told by what built the tree, after the second signature. */
  | { readonly kind: 'seal-shift'; readonly shift: string; readonly root: string; readonly fingerprint: string };

const SHIFT_ACTIONS: ReadonlySet<string> = new Set<ShiftAction['kind']>(['start-shift', 'end-shift', 'change-setup', 'hand-over', 'note', 'add-photo', 'correct', 'sign-off', 'seal-shift']);

export function isShiftAction<A extends { readonly kind: string }>(action: A): action is Extract<A, { readonly kind: ShiftAction['kind'] }> {
  return SHIFT_ACTIONS.has(action.kind);
}

/** True for what changes how the rig is fitted or manned, and with it how it is judged. */
export function changesRig({ kind }: ShiftAction): boolean {
  return kind === 'start-shift' || kind === 'end-shift' || kind === 'change-setup';
}

/** Who does it, when, and what the step can't know by itself. */
export interface ShiftCircumstances {
  readonly atMs: number;
  readonly by: string;
  readonly role: string;
  readonly isRig: (id: string) => boolean;
  readonly newId: () => string;
}

export interface ShiftStep {
  /** Shifts that are open, or ended and not yet sealed. */
  readonly shifts: readonly Shift[];
  /** The shift as it stands after the step; null where the step changed none. */
  readonly made: Shift | null;
  /** What is added to its items. */
  readonly item: { readonly shift: string; readonly rig: string; readonly body: ShiftItemBody } | null;
  readonly refusal: string | null;
}

/** An ended shift that nobody signs stays at hand so long; afterwards it stands in the record as ended, unsigned. */
export const SIGN_WITHIN_MS = 60 * 24 * 3_600_000;

/** One step of the shifts of a site. A rig has at most one open at a time; what is written stays: everything later is an addition. */
export function nextShifts(shifts: readonly Shift[], action: ShiftAction, now: ShiftCircumstances): ShiftStep {
  const refuse = (refusal: string): ShiftStep => ({ shifts, made: null, item: null, refusal });
  if (action.kind === 'start-shift') return start(shifts, action, now, refuse);
  const shift = shifts.find(({ id }) => id === action.shift);
  if (action.kind === 'correct' && !shift && action.sealed) {
    const { of, text, sealed } = action;
    return { shifts, made: null, item: { shift: action.shift, rig: sealed.rig, body: { kind: 'correction', of, text, root: sealed.root } }, refusal: null };
  }
  if (!shift) return refuse(action.kind === 'end-shift' ? 'this shift is not open' : 'this shift is sealed, or ended too long ago: only corrections can be added to it');
  const isOpen = shift.endedAtMs === null;
  const keep = (made: Shift): readonly Shift[] => shifts.map((one) => (one === shift ? made : one));
  const change = (made: Shift, body: ShiftItemBody | null = null): ShiftStep => ({ shifts: keep(made), made, item: body && { shift: shift.id, rig: shift.rig, body }, refusal: null });
  const add = (body: ShiftItemBody): ShiftStep => ({ shifts, made: null, item: { shift: shift.id, rig: shift.rig, body }, refusal: null });
  switch (action.kind) {
    case 'end-shift':
      return isOpen ? change({ ...shift, endedAtMs: now.atMs, endedBy: now.by }) : refuse('this shift is not open');
    case 'change-setup': {
      const impossible = setupRefusal(action.setup);
      if (!isOpen) return refuse('this shift has ended: correct its setup by an addition');
      return impossible === null ? change({ ...shift, setup: action.setup }, { kind: 'setup', setup: action.setup }) : refuse(impossible);
    }
    case 'hand-over':
      return isOpen ? add({ kind: 'handover', to: action.to, text: action.text }) : refuse('this shift has ended: there is nothing to hand over');
    case 'note':
      if (shift.signOffs.length > 0) return refuse('this shift is signed: add a correction');
      if (action.placedAtMs !== null && (action.placedAtMs < shift.startedAtMs || action.placedAtMs > (shift.endedAtMs ?? now.atMs))) return refuse('the note is placed outside the shift');
      return add({ kind: 'note', text: action.text, placedAtMs: action.placedAtMs ?? Math.min(now.atMs, shift.endedAtMs ?? now.atMs), point: action.point, photo: action.photo });
    case 'add-photo':
      return shift.signOffs.length > 0 ? refuse('this shift is signed: nothing more is added but corrections') : add({ kind: 'photo', photo: action.photo, mediaType: action.mediaType, size: action.size });
    case 'correct':
      return add({ kind: 'correction', of: action.of, text: action.text, root: null });
    case 'sign-off':
      return signOff(shift, action.meaning, now, change, refuse);
    case 'seal-shift': {
      if (shift.signOffs.length < 2) return refuse('a shift is sealed after its second signature');
      const made: Shift = { ...shift, seal: { root: action.root, atMs: now.atMs, key: action.fingerprint } };
      return { shifts: shifts.filter((one) => one !== shift), made, item: null, refusal: null };
    }
  }
}

type Refuse = (refusal: string) => ShiftStep;

function start(shifts: readonly Shift[], action: Extract<ShiftAction, { kind: 'start-shift' }>, now: ShiftCircumstances, refuse: Refuse): ShiftStep {
  if (!now.isRig(action.rig)) return refuse(`there is no rig ${action.rig}`);
  const open = shifts.find((shift) => shift.rig === action.rig && shift.endedAtMs === null);
  if (open) return refuse(`rig ${action.rig} already has a shift open, started by ${open.startedBy}`);
  const setup = action.setup ?? NO_SETUP;
  const impossible = setupRefusal(setup);
  if (impossible !== null) return refuse(impossible);
  const shift: Shift = {
    id: now.newId(),
    rig: action.rig,
    startedAtMs: now.atMs,
    startedBy: now.by,
    endedAtMs: null,
    endedBy: null,
    drill: action.drill ?? false,
    crew: action.crew ?? [],
    setup,
    calibrations: action.calibrations ?? [],
    signOffs: [],
    seal: null,
  };
  const atHand = shifts.filter(({ endedAtMs }) => endedAtMs === null || endedAtMs > now.atMs - SIGN_WITHIN_MS);
  return { shifts: [...atHand, shift], made: shift, item: null, refusal: null };
}

/** Two people in two roles: the second one's signature is what the seal waits for. */
function signOff(shift: Shift, meaning: Meaning, now: ShiftCircumstances, change: (made: Shift) => ShiftStep, refuse: Refuse): ShiftStep {
  if (shift.endedAtMs === null) return refuse('this shift is still open: end it first');
  const [first, second] = shift.signOffs;
  if (second) return refuse(`already signed by ${first?.name} and ${second.name}`);
  if (first?.name === now.by) return refuse(`you have signed it already: the second signature is somebody else’s`);
  if (first?.role === now.role) return refuse(`${first.name} signed it as ${first.role}: the second signature is of another role`);
  return change({ ...shift, signOffs: [...shift.signOffs, { atMs: now.atMs, name: now.by, role: now.role, meaning }] });
}
