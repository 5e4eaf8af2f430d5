import type { LoopRange } from '../domain/shift/site-config.ts';

/** NAMUR NE 43, mA: measuring between the inner two, a failed transmitter or wire at and beyond the outer two. */
const FAULT_LOW = 3.6;
const VALID_LOW = 3.8;
const VALID_HIGH = 20.5;
const FAULT_HIGH = 21;

export type Scaled =
  | { readonly value: number; readonly reason: null | 'loop-saturated' }
  /** A failed loop measures nothing. */
  | { readonly value: null; readonly reason: 'loop-fault-low' | 'loop-fault-high' };

/** What a 4-20 mA current stands for. Between measuring and fault the number is kept and marked: the sensor is at its end, or failing. */
export function scaleLoop(milliamps: number, { low, high }: LoopRange): Scaled {
  if (milliamps <= FAULT_LOW) return { value: null, reason: 'loop-fault-low' };
  if (milliamps >= FAULT_HIGH) return { value: null, reason: 'loop-fault-high' };
  const value = low + ((milliamps - 4) / 16) * (high - low);
  return { value, reason: milliamps < VALID_LOW || milliamps > VALID_HIGH ? 'loop-saturated' : null };
}
