import { findPointKind, type Mover } from '../../points/catalogue.ts';
import { type StateTest, type View, usable } from '../view.ts';

/** What a sensor has said without a change, and what went on meanwhile. */
interface Repeated {
  readonly value: number;
  readonly sinceMs: number;
  /** Whether what is bound to move it goes on. */
  readonly isMoved: boolean;
  /** How often that began or ended since the sensor last said something else; when it began last, and when it last did either. */
  readonly turns: number;
  readonly beganAtMs: number;
  readonly turnedAtMs: number;
}

/** A begin and an end. */
const BOTH = 2;
const REPEATS_MS = 60_000;
const SPEAKS_MS = 15_000;
/** psi: a nozzle that is open shows less within seconds. */
const UNDER_PRESSURE = 10;
/** psi at its outlet: a compressor at work. */
const AT_WORK = 50;
const WARM_AFTER_MS = 15 * 60_000;
/** °C: what has worked for a quarter of an hour is warmer (common practice, no source). */
const WARM = 40;

interface Proof {
  /** Whether it goes on now; null where that can't be told. */
  readonly goesOn: (view: View) => boolean | null;
  readonly isFrozen: (seen: Repeated, view: View) => boolean;
}

const PROOFS: Readonly<Record<Mover, Proof>> = {
  blasting: {
    goesOn: (view) => view.isBlasting || view.rigs.some((rig) => rig.isBlasting),
    isFrozen: ({ turns, sinceMs }, { atMs }) => turns >= BOTH && atMs - sinceMs >= REPEATS_MS,
  },
  // The nozzle's own pressure tells of blasting, so its proof is the handle; and without air it may well rest at nothing.
  handle: {
    goesOn: (view) => {
      const held = usable(view.see('remote-control'));
      return held === null ? null : held === 1;
    },
    isFrozen: ({ value, turns, sinceMs }, { atMs }) => value > UNDER_PRESSURE && turns >= BOTH && atMs - sinceMs >= REPEATS_MS,
  },
  // A test that was begun and left proves nothing; one that somebody calls passed does.
  'bump-gas': {
    goesOn: ({ situation }) => situation.bumpTestUntilMs !== null,
    isFrozen: ({ turns, beganAtMs }, { situation }) => turns >= BOTH && (situation.entries['bump-done']?.atMs ?? Number.NEGATIVE_INFINITY) >= beganAtMs,
  },
  warming: {
    goesOn: (view) => {
      const psi = usable(view.see('compressor-pressure'));
      return psi === null ? null : psi >= AT_WORK;
    },
    isFrozen: ({ value, isMoved, turns, beganAtMs }, { atMs }) => isMoved && turns > 0 && value < WARM && atMs - beganAtMs >= WARM_AFTER_MS,
  },
};

/** The sensor says the same, to the last digit, over something that is bound to move a living one (`movedBy` of its kind). */
export const sensorFrozen: StateTest = (view) => {
  const mover = findPointKind(view.point)?.movedBy;
  if (mover === undefined) return 'hold';
  const seen = view.see(view.point);
  const value = usable(seen);
  view.value = value;
  const before = view.memory as Repeated | undefined;
  const { goesOn, isFrozen } = PROOFS[mover];
  const isMoved = goesOn(view);
  // A sensor that is silent repeats nothing.
  if (value === null || isMoved === null || view.atMs - (seen?.receivedAtMs ?? 0) > SPEAKS_MS) {
    if (before !== undefined) view.memory = undefined;
    return 'hold';
  }
  if (before === undefined || before.value !== value) {
    view.memory = { value, sinceMs: view.atMs, isMoved, turns: 0, beganAtMs: view.atMs, turnedAtMs: 0 } satisfies Repeated;
    return 'clear';
  }
  const now = before.isMoved === isMoved ? before : { ...before, isMoved, turns: before.turns + 1, beganAtMs: isMoved ? view.atMs : before.beganAtMs, turnedAtMs: view.atMs };
  if (now !== before) view.memory = now satisfies Repeated;
  // It must have said it again after the last turn.
  return (seen?.receivedAtMs ?? 0) > now.turnedAtMs && isFrozen(now, view) ? 'alarm' : 'hold';
};
