import type { Reading } from '../points/reading.ts';

/**
 * What a gateway hands to a server: readings in the order in which they were put on disk. (gateway, epoch, sequence) names each
 * one for good; the server's cursor moves in the same transaction as the data, so a repeated batch changes nothing.
 */
export interface UplinkBatch {
  readonly site: string;
  readonly gateway: string;
  /** Made when the outbox was created; a new outbox counts from 1 again under a new epoch. */
  readonly epoch: string;
  readonly readings: readonly SequencedReading[];
}

export interface SequencedReading extends Reading {
  readonly sequence: number;
  /** True for what was heard as history, such as a message a broker had retained: recorded, never judged live. */
  readonly backlog: boolean;
}

/** The highest sequence that is committed. */
export interface UplinkAck {
  readonly committed: number;
}
