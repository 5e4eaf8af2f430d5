import type { OwnerKind } from '../points/catalogue.ts';
import type { AlarmPriority } from './alarm.ts';

/** A limit is a number in the point's default unit, or comes from how the rig is built. */
export type Limit =
  | { readonly kind: 'fixed'; readonly value: number }
  | { readonly kind: 'vessel-rating' }
  | { readonly kind: 'below-wanted'; readonly by: number };

/**
 * When an alarm stands.
 * `at-or-above`, `below`, `above`: the value against `limit`; it clears only past the deadband.
 * `unknown`: the point has no valid value, whatever the cause.
 */
export type Condition =
  | { readonly kind: 'at-or-above' | 'above' | 'below'; readonly limit: Limit; readonly deadband: number }
  | { readonly kind: 'unknown' };

/** One rationalised alarm: what raises it, how urgent it is, and what a person does about it. */
export interface AlarmRule {
  readonly name: string;
  /** Headline, verb or fact first, at most 60 characters. */
  readonly title: string;
  readonly owner: OwnerKind;
  /** Id of the point, or `every-measured` for one alarm on each measured point that has no rule of the same condition of its own. */
  readonly point: string;
  readonly condition: Condition;
  readonly onDelayMs: number;
  readonly offDelayMs: number;
  /** A latched alarm stays until a person resets it, and can't be reset while its cause is present. */
  readonly latched: boolean;
  /** `while-blasting`: state and timers are frozen unless the nozzle has been under flow for `settleMs`. */
  readonly gate: 'always' | 'while-blasting';
  readonly settleMs: number;
  readonly priority: AlarmPriority;
  readonly cause: string;
  readonly consequence: string;
  /** First response, in the order in which it is done. */
  readonly response: string;
  readonly respondWithin: string;
  /** Where the limit comes from: a standard, or `common practice, no source`. */
  readonly limitSource: string;
}
