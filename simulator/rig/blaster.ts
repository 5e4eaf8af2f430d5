import type { Random } from '../random.ts';
import type { RigEffects } from './effects.ts';

/** How a person works. Times in seconds. */
export interface WorkHabits {
  /** From the start of the scenario to the first time on the handle. */
  readonly startsAfter: number;
  readonly burst: readonly [shortest: number, longest: number];
  readonly reposition: readonly [shortest: number, longest: number];
  readonly refill: readonly [shortest: number, longest: number];
  /** Work between breaks, and the length of a break. */
  readonly spell: readonly [shortest: number, longest: number];
  readonly breakFor: readonly [shortest: number, longest: number];
  /** Hours of the day, local, between which there is work; left out: always. */
  readonly hours?: readonly [from: number, to: number];
  /** The pot is refilled below this share of full. */
  readonly refillBelow: number;
}

type Phase = 'off duty' | 'dressing' | 'blasting' | 'repositioning' | 'refilling' | 'on break';

/** What one blaster is doing. */
export interface Blaster {
  phase: Phase;
  /** Seconds left of this phase. */
  left: number;
  /** Work left before a break, s. */
  spellLeft: number;
  refillAsked: boolean;
  held: boolean;
  underHood: boolean;
}

export function createBlaster(habits: WorkHabits, random: Random): Blaster {
  const spellLeft = habits.startsAfter + random.between(...habits.spell);
  return { phase: 'dressing', left: habits.startsAfter, spellLeft, refillAsked: false, held: false, underHood: false };
}

interface AtWork {
  /** Share of abrasive left in the pot. */
  readonly fill: number;
  /** Of the day, local. */
  readonly hour: number;
  readonly effects: RigEffects;
}

/** Moves the blaster on by `dt` s. Sets whether the handle is held. */
export function stepBlaster(blaster: Blaster, habits: WorkHabits, now: AtWork, random: Random, dt: number): void {
  const { effects } = now;
  blaster.left -= dt;
  blaster.spellLeft -= dt;
  if (effects.refillNow > 0 && !blaster.refillAsked) {
    blaster.phase = 'refilling';
    blaster.left = random.between(...habits.refill);
  }
  blaster.refillAsked = effects.refillNow > 0;
  if (blaster.left <= 0) nextPhase(blaster, habits, now, random);
  const able = effects.holdHandle > 0 || (blaster.phase === 'blasting' && effects.noBlasting === 0);
  blaster.held = able;
  blaster.underHood = able || blaster.phase === 'blasting' || blaster.phase === 'repositioning';
}

/** How often someone off duty looks at the watch, s. */
const WATCH = 60;

function nextPhase(blaster: Blaster, habits: WorkHabits, { fill, hour, effects }: AtWork, random: Random): void {
  const [from, to] = habits.hours ?? [0, 24];
  if (hour < from || hour >= to) return enter(blaster, 'off duty', WATCH);
  if (blaster.phase === 'off duty') return enter(blaster, 'dressing', random.between(300, 900));
  if (blaster.phase === 'blasting') {
    if (blaster.spellLeft <= 0) return enter(blaster, 'on break', random.between(...habits.breakFor));
    if (fill < habits.refillBelow && effects.noRefill === 0) return enter(blaster, 'refilling', random.between(...habits.refill));
    // One time in six it is more than a step along: a look at the work, a word with the tender.
    const longer = random.next() < 1 / 6 ? 2.5 : 1;
    return enter(blaster, 'repositioning', longer * random.between(...habits.reposition));
  }
  if (blaster.phase === 'on break') {
    blaster.spellLeft = random.between(...habits.spell);
    if (fill < 0.6 && effects.noRefill === 0) return enter(blaster, 'refilling', random.between(...habits.refill));
  }
  enter(blaster, 'blasting', random.between(...habits.burst));
}

function enter(blaster: Blaster, phase: Phase, seconds: number): void {
  blaster.phase = phase;
  blaster.left = seconds;
}
