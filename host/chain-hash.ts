import { createHash } from 'node:crypto';
import { chainStart, type ChainedReading, linkText } from '../domain/wire/chain.ts';

/** The hash before an owner's first link, hex. */
export function startHash(gateway: string, epoch: string, owner: string): string {
  return createHash('sha256').update(chainStart(gateway, epoch, owner)).digest('hex');
}

/** hash(n) = SHA-256(hash(n−1) ‖ canonical JSON of the readings), hex; the hash before goes in as its 32 bytes. */
export function nextHash(before: string, readings: readonly ChainedReading[]): string {
  return createHash('sha256').update(before, 'hex').update(linkText(readings)).digest('hex');
}
