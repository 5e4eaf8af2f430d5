import type { Reading } from '../../domain/points/reading.ts';
import type { ChainLink } from '../../domain/wire/chain.ts';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import type { SetAsideReading } from './set-aside.ts';

/** What is put in: not yet numbered. */
export type NewReading = Reading & { readonly backlog: boolean };

/**
 * The gateway's durable queue. `put` resolves once the readings are on the disk, in the order of the calls: only then may a sensor
 * be told so. Readings stay until every uplink's server has committed them, or until there is no room.
 */
export interface Outbox {
  readonly gateway: string;
  readonly epoch: string;
  put(readings: readonly NewReading[]): Promise<void>;
  /** The oldest readings above a sequence, in order, and not above `through`. */
  read(after: number, limit: number, through?: number): readonly SequencedReading[];
  /** What was put in lately, with a time of its own, and may be sent once more; it stays known over a restart. */
  seen(): Reading[];
  /** The links of the chains that end in a range. */
  links(after: number, through: number): ChainLink[];
  /** The newest sequence that is on the disk. */
  last(): number;
  /** The first reading received at or after this time; null where there is none. */
  firstSince(receivedAtMs: number): number | null;
  /** When the newest reading was received, so that a clock does not start before it; 0 in an empty outbox. */
  newestAtMs(): number;
  /** Everything up to here is committed at this uplink's server; what all have may go. */
  release(uplink: string, through: number): void;
  /**
   * For a server that has sequences which this outbox never gave: the file is a copy of an older day, and counting on would give them a
   * second time. What waits is handed over again under the new epoch.
   */
  renewEpoch(): void;
  /** Called after each commit that added readings. */
  onAdded(listener: () => void): void;
  /** Keeps a reading that an uplink's server will not take; on the disk when this returns. @throws Error where the disk refuses */
  setAside(one: SetAsideReading): void;
  /** How many are kept aside for an uplink. */
  countSetAside(uplink: string): number;
  /** Readings that at least one server has not committed. */
  waiting(): number;
  status(): OutboxStatus;
  close(): Promise<void>;
}

export interface OutboxStatus {
  /** How much of the room is taken, 0 to 1. */
  readonly filled: number;
  /** Readings that no server had and that had to go for want of room, since the outbox was made. */
  readonly dropped: number;
  /** Readings that at least one server had and that had to go before another did. */
  readonly givenUp: number;
  /** False while the disk refuses: nothing is acknowledged then. */
  readonly writable: boolean;
}
