import { createHash } from 'node:crypto';

/**
 * Merkle tree hashing by RFC 9162, section 2.1.1 (the same as RFC 6962, section 2.1): a leaf is SHA-256(0x00 ‖ bytes), a node
 * SHA-256(0x01 ‖ left ‖ right), split at the largest power of two below the number of leaves; an empty tree is SHA-256 of nothing.
 */
export function merkleRoot(leaves: readonly Uint8Array[]): Buffer {
  if (leaves.length === 0) return createHash('sha256').digest();
  return rootOf(leaves.map(leafHash));
}

export function leafHash(bytes: Uint8Array): Buffer {
  return createHash('sha256').update(LEAF).update(bytes).digest();
}

const LEAF = Buffer.from([0]);
const NODE = Buffer.from([1]);

function rootOf(hashes: readonly Buffer[]): Buffer {
  const [only] = hashes;
  if (only && hashes.length === 1) return only;
  let split = 1;
  while (split * 2 < hashes.length) split *= 2;
  return createHash('sha256').update(NODE).update(rootOf(hashes.slice(0, split))).update(rootOf(hashes.slice(split))).digest();
}
