import type { QualityReason } from '../../domain/points/reading.ts';
import type { TopicTarget } from '../topic-map.ts';
import type { Decoded, Refused } from './decoded.ts';

/** What one message says, value by value. */
export interface DecodedMessage {
  readonly values: readonly { readonly target: TopicTarget; readonly decoded: Decoded }[];
  /** Points that the message says have no value now. */
  readonly absent?: readonly Absent[];
  /** Worth knowing, without a word on any point of ours. */
  readonly remarks?: readonly Refused[];
  /** To be published in answer. */
  readonly commands?: readonly Command[];
}

export interface Absent {
  readonly target: TopicTarget;
  readonly reason: QualityReason;
}

/** A message of the gateway's own: QoS 0, not retained. */
export interface Command {
  readonly topic: string;
  readonly payload: Uint8Array;
}
