import type { Reading } from '../points/reading.ts';

/** A link of an owner's chain: the hash over everything of that owner up to a sequence. */
export interface ChainLink {
  readonly owner: string;
  /** The last of this owner's readings that the link covers. */
  readonly through: number;
  /** When the gateway received that reading: to find a link by time. */
  readonly receivedAtMs: number;
  /** SHA-256, hex. */
  readonly hash: string;
}

/** A link as a server keeps it. */
export interface KeptLink extends ChainLink {
  readonly gateway: string;
  readonly epoch: string;
}

/** What of a reading is hashed: all that the record keeps of it as the gateway took it in. */
export type ChainedReading = Omit<Reading, 'owner'> & { readonly sequence: number };

/** The first hash of an owner's chain is SHA-256 of this. */
export function chainStart(gateway: string, epoch: string, owner: string): string {
  return JSON.stringify({ epoch, gateway, owner });
}

/**
 * The text that is hashed after the hash before it: canonical JSON (keys in order, no spaces) of an owner's readings since the last
 * link, in order of sequence.
 */
export function linkText(readings: readonly ChainedReading[]): string {
  return JSON.stringify(readings.map(({ observedAtMs, point, quality, reason, receivedAtMs, sequence, value }) => ({ observedAtMs, point, quality, reason, receivedAtMs, sequence, value })));
}
