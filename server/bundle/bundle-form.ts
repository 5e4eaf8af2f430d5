import { createHash } from 'node:crypto';
import { canonicalJson } from '../../host/canonical-json.ts';
import { merkleRoot } from './merkle.ts';

/** The form of a bundle, shared by what builds it and what verifies it. Bytes and meanings: docs/shift-record.md. */
export const FORMAT = 'potside-record-1';

/** One file of the bundle as the manifest names it; `packed` is the SHA-256 of its bytes as they lie in the archive. */
export interface ManifestEntry {
  readonly name: string;
  readonly size: number;
  readonly sha256: string;
  readonly packed: string;
}

export interface Manifest {
  readonly format: string;
  readonly files: readonly ManifestEntry[];
}

/** What is signed. */
export interface SealStatement {
  readonly format: string;
  /** `seal`: signed by two people. `interim`: taken out before that. */
  readonly kind: 'seal' | 'interim';
  readonly site: string;
  readonly shift: string;
  readonly root: string;
  readonly leaves: number;
  /** The last so many leaves are the minutes of `readings.csv`. */
  readonly minutes: number;
  readonly at: string;
  readonly key: string;
}

/** What was added after the seal. */
export interface Addendum {
  readonly format: string;
  readonly shift: string;
  readonly earlierRoot: string;
  readonly at: string;
  readonly items: readonly unknown[];
}

/** What does not stand in the manifest: it is made from it. In the order in which it follows in the archive, stored as it is. */
export const SEAL_FILES = ['manifest.json', 'seal.json', 'seal.sig', 'key.pem'] as const;
export const ADDENDUM_FILES = ['addendum.json', 'addendum.sig'] as const;

export function sha256(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

export function canonicalBytes(value: unknown): Buffer {
  return Buffer.from(canonicalJson(value), 'utf8');
}

/** The leaves: every file by its line in the manifest, then every minute of the readings, so that one minute can be proven alone. */
export function leavesOf(files: readonly ManifestEntry[], readingsCsv: Uint8Array): { readonly leaves: readonly Uint8Array[]; readonly minutes: number } {
  const minutes = minutesOf(readingsCsv);
  return { leaves: [...files.map(canonicalBytes), ...minutes], minutes: minutes.length };
}

export function rootOf(leaves: readonly Uint8Array[]): string {
  return merkleRoot(leaves).toString('hex');
}

/** `2026-06-01T12:00`: the first sixteen signs of a row tell its minute. */
const MINUTE_SIGNS = 16;

/** The rows of each minute, as bytes with their line ends; the header is left out. */
function minutesOf(csv: Uint8Array): Buffer[] {
  const bytes = Buffer.from(csv.buffer, csv.byteOffset, csv.length);
  const minutes: Buffer[] = [];
  let at = bytes.indexOf(0x0a) + 1;
  if (at === 0) return minutes;
  let start = at;
  let current = bytes.toString('latin1', at, at + MINUTE_SIGNS);
  while (at < bytes.length) {
    const minute = bytes.toString('latin1', at, at + MINUTE_SIGNS);
    if (minute !== current) {
      minutes.push(bytes.subarray(start, at));
      start = at;
      current = minute;
    }
    const end = bytes.indexOf(0x0a, at);
    at = end < 0 ? bytes.length : end + 1;
  }
  if (start < bytes.length) minutes.push(bytes.subarray(start));
  return minutes;
}
