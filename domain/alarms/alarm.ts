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

/** States in which an alarm neither sounds nor asks for anything. */
export const SET_ASIDE: readonly AlarmState[] = ['shelved', 'suppressed-by-design', 'out-of-service'];

/** One occurrence of an alarm, from its raising to its return to normal. The id is kept over latch, shelf and re-alarm. */
export interface AlarmOccurrence {
  readonly id: string;
  readonly state: AlarmState;
  /** When it was raised; when it was set aside, for one that was set aside while quiet. */
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  readonly acknowledgedAtMs: number | null;
  readonly acknowledgedBy: string | null;
  /** Who took it at the rig; an acknowledgement from elsewhere leaves this null and the rig's horn on. */
  readonly silencedAtRigBy: string | null;
  readonly outConfirmedAtMs: number | null;
  readonly outConfirmedBy: string | null;
  /** True once people were called; what came and went while suppressed never was. */
  readonly announced: boolean;
  /** Value and limit at the raising, in the point's default unit. */
  readonly value: number | null;
  readonly limit: number | null;
}

/** Why and until when a person set an alarm aside. */
export interface SetAside {
  readonly untilMs: number;
  readonly by: string;
  readonly reason: string;
  readonly text: string;
  /** Who agreed; null for a shelf, which needs no second person. */
  readonly approvedBy: string | null;
}
