/** Urgency of an alarm, by what happens when nobody responds. */
export type AlarmPriority = 'critical' | 'high' | 'medium' | 'low';

/** Priorities from most to least urgent. */
export const PRIORITIES: readonly AlarmPriority[] = ['critical', 'high', 'medium', 'low'];

/** States of ISA-18.2 / IEC 62682 by their standard names (letters A to I of the standard's state table). */
export type AlarmState =
  | 'normal'
  | 'unacknowledged'
  | 'acknowledged'
  | 'returned-to-normal-unacknowledged'
  | 'latched-unacknowledged'
  | 'latched-acknowledged'
  | 'shelved'
  | 'suppressed-by-design'
  | 'out-of-service';

/** One occurrence of an alarm, from its raising to its return to normal. The id is kept over latch and re-alarm. */
export interface AlarmOccurrence {
  readonly id: string;
  readonly state: AlarmState;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  readonly acknowledgedAtMs: number | null;
  readonly acknowledgedBy: string | null;
  /** Value and limit at the raising, in the point's default unit. */
  readonly value: number | null;
  readonly limit: number | null;
}
