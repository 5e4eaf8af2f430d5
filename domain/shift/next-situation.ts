import { type Entry, type EntryKind, NO_SITUATION, type Situation } from '../alarms/situation.ts';
import { checkEntry, ENTRY_SPECS } from './entry-kind.ts';
import { nextSensorChecks, readSensorCheck, sensorCheckText } from './next-sensor-checks.ts';
import { isSensorCheck, type SensorCheckAction } from '../points/sensor-check.ts';
import type { ShiftItemBody } from './shift.ts';

/** A bump test that takes longer was forgotten. */
export const MAX_BUMP_TEST_MIN = 10;
/** An announced stop of the air lasts so long at most, and so long where nobody says. */
const MAX_STOP_MIN = 60;
const USUAL_STOP_MIN = 15;

/** What people tell of a rig beside its sensors. */
export type RigAction =
  | { readonly kind: 'hood-in'; readonly rig: string; readonly name: string }
  | { readonly kind: 'hood-out'; readonly rig: string; readonly name: string }
  | { readonly kind: 'bump-test'; readonly rig: string; readonly minutes: number }
  /** Without a unit the value is in that of its kind; `second` is the wet bulb beside the dry one. */
  | { readonly kind: 'entry'; readonly rig: string; readonly entry: EntryKind; readonly value: number | null; readonly place: string; readonly text: string; readonly unit?: string | null; readonly second?: number | null }
  | SensorCheckAction;

export interface SituationStep {
  readonly situation: Situation;
  readonly refusal: string | null;
}

/** The next situation of a rig after an action; `isElsewhere` says on which other rig a person is logged, if any. */
export function nextSituation(situation: Situation, action: RigAction, by: string, atMs: number, isElsewhere: (name: string) => string | null): SituationStep {
  if (isSensorCheck(action)) return nextSensorChecks(situation, action, by, atMs);
  switch (action.kind) {
    case 'hood-in':
      return hoodIn(situation, action.name.trim(), atMs, isElsewhere);
    case 'hood-out':
      return hoodOut(situation, action.name.trim());
    case 'bump-test':
      return bumpTest(situation, action.minutes, atMs);
    case 'entry': {
      const checked = checkEntry(action);
      return 'refusal' in checked ? refuse(situation, checked.refusal) : { situation: enter(situation, action.entry, { atMs, by, value: checked.value }), refusal: null };
    }
  }
}

/** Somebody puts the hood on: a bump test ends with it, since the air is somebody's again. */
function hoodIn(situation: Situation, name: string, atMs: number, isElsewhere: (name: string) => string | null): SituationStep {
  if (name === '') return refuse(situation, 'say who is under the hood');
  if (situation.underHood.some((one) => one.name === name)) return refuse(situation, `${name} is already logged under a hood here`);
  const other = isElsewhere(name);
  if (other !== null) return refuse(situation, `${name} is logged under a hood on ${other}: log out there first`);
  return { situation: { ...situation, underHood: [...situation.underHood, { name, sinceMs: atMs }], isHoodLogUsed: true, bumpTestUntilMs: null }, refusal: null };
}

function hoodOut(situation: Situation, name: string): SituationStep {
  const underHood = situation.underHood.filter((one) => one.name !== name);
  if (underHood.length === situation.underHood.length) return refuse(situation, `${name} is not logged under a hood here`);
  return { situation: { ...situation, underHood }, refusal: null };
}

/** Minutes 0 ends it. */
function bumpTest(situation: Situation, minutes: number, atMs: number): SituationStep {
  if (minutes === 0) return { situation: { ...situation, bumpTestUntilMs: null }, refusal: null };
  if (!(minutes > 0 && minutes <= MAX_BUMP_TEST_MIN)) return refuse(situation, `a bump test lasts ${MAX_BUMP_TEST_MIN} min at most`);
  const [somebody] = situation.underHood;
  if (somebody) return refuse(situation, `${somebody.name} is under the hood: a bump test is done with nobody there`);
  return { situation: { ...situation, bumpTestUntilMs: atMs + minutes * 60_000 }, refusal: null };
}

function enter(situation: Situation, kind: EntryKind, entry: Entry): Situation {
  const next: Situation = { ...situation, entries: { ...situation.entries, [kind]: entry } };
  if (kind === 'pot-open') return { ...next, isPotOpen: true };
  if (kind === 'pot-closed') return { ...next, isPotOpen: false };
  if (kind !== 'stop-announced') return next;
  const minutes = Math.min(MAX_STOP_MIN, entry.value ?? USUAL_STOP_MIN);
  return { ...next, stopAnnouncedUntilMs: entry.atMs + minutes * 60_000, pressurisedSinceMs: null };
}

/** A shift starts with a clean slate, except for who is under a hood and for what is due by date. */
export function withShift(situation: Situation, sinceMs: number | null): Situation {
  const { underHood, entries, isPotOpen, checks } = situation;
  return { ...NO_SITUATION, underHood, entries, isPotOpen, checks, isHoodLogUsed: underHood.length > 0, shiftSinceMs: sinceMs };
}

function refuse(situation: Situation, refusal: string): SituationStep {
  return { situation, refusal };
}

/** What a done action leaves on the shift; null for a mode, which the journal tells. */
export function itemOf(action: RigAction, by: string, atMs: number): ShiftItemBody | null {
  if (isSensorCheck(action)) {
    const made = readSensorCheck(action, by, atMs);
    return 'refusal' in made ? null : { kind: 'entry', entry: made.check.kind === 'calibration' ? 'calibration-done' : 'bump-done', value: null, unit: null, second: null, place: '', text: sensorCheckText(made.check) };
  }
  if (action.kind === 'bump-test') return null;
  if (action.kind !== 'entry') return { kind: action.kind, name: action.name.trim() };
  const checked = checkEntry(action);
  if ('refusal' in checked) return null;
  const { entry, place, text } = action;
  return { kind: 'entry', entry, ...checked, unit: checked.value === null ? null : ENTRY_SPECS[entry].unit, place, text };
}
