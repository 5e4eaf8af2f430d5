import type { TopicTarget } from '../topic-map.ts';
import type { Decoded, Refused } from './decoded.ts';

/** What one message says, value by value. */
export interface DecodedMessage {
  readonly values: readonly { readonly target: TopicTarget; readonly decoded: Decoded }[];
  /** Worth knowing, without a word on any point of ours. */
  readonly remarks?: readonly Refused[];
}
