import { describe, expect, it } from 'vitest';
import { nextShifts, SIGN_WITHIN_MS, type ShiftAction, type ShiftStep } from '../../../domain/shift/next-shifts.ts';
import { NO_SETUP, type Shift, shiftState } from '../../../domain/shift/shift.ts';

/** Shifts stepped one action after the other, for tests. */
class Stepped {
  shifts: readonly Shift[] = [];
  #ids = 0;

  act(atMs: number, action: ShiftAction, by = 'dana', role = 'supervisor'): ShiftStep {
    const step = nextShifts(this.shifts, action, { atMs, by, role, isRig: (id) => id.startsWith('rig-'), newId: () => `s-${++this.#ids}` });
    this.shifts = step.shifts;
    return step;
  }

  ended(): Stepped {
    this.act(0, { kind: 'start-shift', rig: 'rig-a' });
    this.act(1_000, { kind: 'end-shift', shift: 's-1' }, 'lee');
    return this;
  }
}

const signOff: ShiftAction = { kind: 'sign-off', shift: 's-1', meaning: 'approved' };

describe('the life of a shift', () => {
  it('begins with crew, setup and calibrations as told', () => {
    const told = { crew: [{ name: 'Ray', job: 'blaster' }], setup: { ...NO_SETUP, nozzleBore: { value: 7 / 16, unit: '[in_i]' }, abrasive: 'garnet 30/60' }, calibrations: [{ point: 'rig-a/breathing-air-co', certificate: 'C-17', done: '2026-05-01', due: '2026-11-01' }] };
    const { made, refusal } = new Stepped().act(5, { kind: 'start-shift', rig: 'rig-a', ...told });
    expect(refusal).toBeNull();
    expect(made).toMatchObject({ id: 's-1', startedAtMs: 5, startedBy: 'dana', ...told, signOffs: [], seal: null });
    expect(made && shiftState(made)).toBe('open');
  });

  it('goes from open over ended and signed once to sealed, and then is no longer at hand', () => {
    const shifts = new Stepped().ended();
    expect(shifts.shifts.map(shiftState)).toEqual(['ended']);
    expect(shifts.act(2_000, signOff).made).toMatchObject({ endedBy: 'lee', signOffs: [{ atMs: 2_000, name: 'dana', role: 'supervisor', meaning: 'approved' }] });
    expect(shifts.shifts.map(shiftState)).toEqual(['signed-once']);
    expect(shifts.act(3_000, { kind: 'seal-shift', shift: 's-1', root: 'ab', fingerprint: 'cd' }).refusal).toMatch(/second signature/);
    expect(shifts.act(4_000, signOff, 'kim', 'safety-officer').refusal).toBeNull();
    const { made } = shifts.act(5_000, { kind: 'seal-shift', shift: 's-1', root: 'ab', fingerprint: 'cd' });
    expect(made).toMatchObject({ seal: { root: 'ab', atMs: 5_000, key: 'cd' } });
    expect(made && shiftState(made)).toBe('sealed');
    expect(shifts.shifts).toEqual([]);
  });

  it('takes a correction after the seal as an addition that names the earlier root', () => {
    const { item, made, shifts } = new Stepped().act(9, { kind: 'correct', shift: 'old', of: 'old-3-1', text: 'it was 92', sealed: { rig: 'rig-a', root: 'ab' } });
    expect({ item, made, shifts }).toEqual({ item: { shift: 'old', rig: 'rig-a', body: { kind: 'correction', of: 'old-3-1', text: 'it was 92', root: 'ab' } }, made: null, shifts: [] });
  });

  it('keeps shifts that nobody signs for sixty days at hand, no longer', () => {
    const shifts = new Stepped().ended();
    shifts.act(1_000 + SIGN_WITHIN_MS - 1, { kind: 'start-shift', rig: 'rig-b' });
    expect(shifts.shifts).toHaveLength(2);
    shifts.act(1_000 + SIGN_WITHIN_MS, { kind: 'start-shift', rig: 'rig-c' });
    expect(shifts.act(1_001 + SIGN_WITHIN_MS, signOff).refusal).toMatch(/too long ago/);
  });
});

describe('what is refused, and why', () => {
  it.each<[string, (shifts: Stepped) => ShiftStep, RegExp]>([
    ['a second signature of the same person', (s) => (s.act(2, signOff), s.act(3, signOff, 'dana', 'manager')), /you have signed it already/],
    ['a second signature of the same role', (s) => (s.act(2, signOff), s.act(3, signOff, 'kim')), /of another role/],
    ['a third signature', (s) => (s.act(2, signOff), s.act(3, signOff, 'kim', 'manager'), s.act(4, signOff, 'ann', 'safety-officer')), /already signed by dana and kim/],
    ['a note after a signature', (s) => (s.act(2, signOff), s.act(3, { kind: 'note', shift: 's-1', text: 'late', placedAtMs: null, point: null, photo: null })), /add a correction/],
    ['a note placed outside the shift', (s) => s.act(3_000, { kind: 'note', shift: 's-1', text: 'x', placedAtMs: 2_000, point: null, photo: null }), /outside the shift/],
    ['a handover after the end', (s) => s.act(2_000, { kind: 'hand-over', shift: 's-1', to: 'kim', text: 'x' }), /has ended/],
    ['a changed setup after the end', (s) => s.act(2_000, { kind: 'change-setup', shift: 's-1', setup: NO_SETUP }), /has ended/],
    ['an end twice', (s) => s.act(2_000, { kind: 'end-shift', shift: 's-1' }), /not open/],
    ['a nozzle as wide as a pipe', (s) => s.act(2_000, { kind: 'start-shift', rig: 'rig-a', setup: { ...NO_SETUP, nozzleBore: { value: 7, unit: '[in_i]' } } }), /nozzle bore: found 7 in, expected 0.002 to 0.05 m/],
    ['a bore in psi', (s) => s.act(2_000, { kind: 'start-shift', rig: 'rig-a', setup: { ...NO_SETUP, hoseBore: { value: 1, unit: '[psi]' } } }), /hose bore: found the unit "\[psi\]"/],
    ['a rig that is not there', (s) => s.act(2_000, { kind: 'start-shift', rig: 'nope' }), /there is no rig nope/],
  ])('%s', (_what, act, reason) => {
    const shifts = new Stepped().ended();
    const before = shifts.shifts.length;
    const { refusal, made, item } = act(shifts);
    expect([refusal, made, item]).toEqual([expect.stringMatching(reason), null, null]);
    expect(shifts.shifts).toHaveLength(before);
  });

  it('a signature under an open shift', () => {
    const shifts = new Stepped();
    shifts.act(0, { kind: 'start-shift', rig: 'rig-a' });
    expect(shifts.act(1, signOff).refusal).toMatch(/still open/);
  });
});
