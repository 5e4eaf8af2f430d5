import type { Reading } from '../../domain/points/reading.ts';
import type { SequencedReading } from '../../domain/wire/uplink.ts';

/** What is put in: not yet numbered. */
export type NewReading = Reading & { readonly backlog: boolean };

/**
 * The gateway's durable queue. `put` resolves once the readings are on the disk, in the order of the calls: only then may a sensor
 * be told so. Readings stay until a server has committed them.
 */
export interface Outbox {
  readonly gateway: string;
  readonly epoch: string;
  put(readings: readonly NewReading[]): Promise<void>;
  /** The oldest readings above a sequence, in order. */
  read(after: number, limit: number): SequencedReading[];
  /** Everything up to here is committed at the server and may go. */
  release(through: number): void;
  /** Called after each commit that added readings. */
  onAdded(listener: () => void): void;
  /** Readings waiting for the server. */
  waiting(): number;
  close(): Promise<void>;
}
