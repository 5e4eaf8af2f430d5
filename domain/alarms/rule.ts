import type { OwnerKind } from '../points/catalogue.ts';
import type { Dimension } from '../quantity/unit.ts';
import type { AlarmPriority } from './alarm.ts';
import type { AlarmTiming } from './alarm-step.ts';

/** Whose law the shipped limits follow. */
export type Regime = 'US' | 'EN';

/** A limit is a number in the rule's unit, or comes from how the rig is built and where it stands. */
export type Limit =
  | { readonly kind: 'fixed'; readonly value: number }
  | { readonly kind: 'regime'; readonly us: number; readonly en: number }
  /** The vessel's plate, less `by`. */
  | { readonly kind: 'vessel-rating'; readonly by: number }
  | { readonly kind: 'below-wanted'; readonly by: number }
  /** The respirator's own table for the hose in use; `otherwise` where the rig's is not given, null to leave the rule out. */
  | { readonly kind: 'respirator-low'; readonly by: number; readonly otherwise: number | null }
  | { readonly kind: 'respirator-high' }
  /** Seconds a full pot lasts, times `times`; an hour where its volume is not given. */
  | { readonly kind: 'pot-endurance'; readonly times: number }
  /** From the equipment's manual: without it in the site's configuration the rule does not apply. */
  | { readonly kind: 'site-sets' };

/** Tests that need more than one value; each is written out under `state-tests/`. */
export type StateTestName =
  | 'co-rising'
  | 'blasting-without-air'
  | 'trigger-nobody-under-hood'
  | 'supply-collapse'
  | 'compressor-tripped'
  | 'supply-low-while-triggered'
  | 'deadman-failed'
  | 'deadman-slow'
  | 'pot-pressurised'
  | 'separator-loss'
  | 'nozzle-worn'
  | 'sensor-frozen'
  | 'line-loss-off'
  | 'abrasive-stopped'
  | 'line-wet'
  | 'freezing'
  | 'plume-with-co'
  | 'bump-due'
  | 'calibration-due'
  | 'filter-due'
  | 'blotter-due'
  | 'spot-due'
  | 'clock-off'
  | 'beacon-dead'
  | 'outbox-full'
  | 'certificate-ending'
  | 'readings-set-aside'
  | 'not-recording'
  | 'not-judged'
  | 'nobody-told';

/**
 * When an alarm stands.
 * `at-or-above`, `above`, `below`: the value against `limit`; it clears only past the deadband.
 * `outside`: below `low` or above `high`, both of the good band.
 * `unknown`: the point has no valid value, whatever the cause.
 * `state`: what a test says of several points, of people's entries and of durations.
 */
export type Condition =
  | { readonly kind: 'at-or-above' | 'above' | 'below'; readonly limit: Limit; readonly deadband: number }
  | { readonly kind: 'outside'; readonly limit: Limit; readonly high: number; readonly deadband: number }
  | { readonly kind: 'unknown' }
  | {
      readonly kind: 'state';
      readonly test: StateTestName;
      readonly says: string;
      readonly limit: Limit | null;
      /** Points without which it can't be told: the rule does not apply where one is not fitted. */
      readonly needs: readonly string[];
      /**
       * Points at whose change it is tested; `told`: when somebody tells something of the owner, and when its own time comes;
       * empty: once a second.
       */
      readonly prompt: readonly string[] | 'told';
    };

/** Circumstances in which an alarm means nothing, as data. */
export type Suppression = 'bump-test' | 'nobody-under-hood' | 'not-in-service' | 'stop-announced' | 'depressurised' | 'no-baseline' | 'idle' | 'warm-up' | 'hood-log-unused' | 'co-high-stands';

/** One rationalised alarm: what raises it, how urgent it is, and what a person does about it. */
export interface AlarmRule extends AlarmTiming {
  readonly name: string;
  /** Headline, verb or fact first, at most 60 characters. */
  readonly title: string;
  readonly owner: OwnerKind;
  /**
   * Id of the point it is about, or `every-measured` for one alarm on each measured point that has no rule of the same condition of
   * its own; null where it is about no point.
   */
  readonly point: string | null;
  /** Unit of value and limit where it is not the point's. */
  readonly measure: { readonly unit: string; readonly dimension: Dimension } | null;
  readonly condition: Condition;
  /** `while-blasting`: state and timers are frozen unless the nozzle has been under flow for `settleMs`. */
  readonly gate: 'always' | 'while-blasting';
  readonly settleMs: number;
  readonly suppressedWhile: readonly Suppression[];
  readonly priority: AlarmPriority;
  /** CO and loss of air: its own sound, never folded away under a group or in a flood. */
  readonly isAir: boolean;
  /** An air alarm that may be shown under the alarm of its cause, which calls for the same. */
  readonly mayFold: boolean;
  /** Shown under this alarm of the owner's compressor where both stand. */
  readonly consequenceOf: 'compressor-tripped' | null;
  /** Deadband under EN where its lower limit asks for another; null: the same. */
  readonly deadbandEn: number | null;
  /** Only under this regime; null: under both. */
  readonly regime: Regime | null;
  readonly cause: string;
  readonly consequence: string;
  /** First response, in the order in which it is done. */
  readonly response: string;
  readonly respondWithin: string;
  /** Where the limit comes from: a standard, or `common practice, no source`. */
  readonly limitSource: string;
}

export const PRACTICE = 'common practice, no source';

type Needed = 'name' | 'title' | 'owner' | 'point' | 'condition' | 'priority' | 'onDelayMs' | 'offDelayMs' | 'cause' | 'consequence' | 'response' | 'respondWithin';

/** A rule with the usual for what is not said. */
export function rule(said: Pick<AlarmRule, Needed> & Partial<AlarmRule>): AlarmRule {
  return {
    latched: false,
    autoAcknowledge: false,
    needsOut: false,
    shelvableBy: 'supervisor',
    measure: null,
    gate: 'always',
    settleMs: 0,
    suppressedWhile: [],
    isAir: false,
    mayFold: said.isAir !== true,
    consequenceOf: null,
    deadbandEn: null,
    regime: null,
    limitSource: PRACTICE,
    ...said,
  };
}
