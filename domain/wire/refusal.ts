/** Why a message or a value in it was set aside. Closed: adding one is a change of the contract. */
export const REFUSAL_REASONS = [
  'unknown-topic',
  'too-large',
  'too-deep',
  'not-text',
  'not-json',
  'not-senml',
  'not-sparkplug',
  'not-born',
  'not-a-number',
  'not-finite',
  'value-missing',
  'wrong-unit',
  'time-unreadable',
  'time-out-of-bounds',
  'retained-without-time',
  'replayed',
] as const;
export type RefusalReason = (typeof REFUSAL_REASONS)[number];

/** A message that was set aside, with enough of it for a person to see what was wrong. */
export interface Refusal {
  readonly atMs: number;
  readonly topic: string;
  readonly reason: RefusalReason;
  /** In words: what was found and what was expected. */
  readonly detail: string;
  /** The first bytes, with what can't be printed as dots. */
  readonly sample: string;
  readonly bytes: number;
}
