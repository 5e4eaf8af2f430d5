import { createPublicKey, type KeyObject, verify } from 'node:crypto';
import { crc32 } from 'node:zlib';
import { z } from 'zod';
import { canonicalJson } from '../../host/canonical-json.ts';
import { ADDENDUM_FILES, type Addendum, FORMAT, leavesOf, type Manifest, rootOf, SEAL_FILES, type SealStatement, sha256 } from './bundle-form.ts';
import { type ChainCount, compareContents } from './compare-contents.ts';
import { fingerprintOf } from './record-key.ts';
import { type FoundEntry, type PackedFile, readZip, unpack, zipOf } from './zip.ts';

/** One thing that is not as it was, and where. */
export interface Fault {
  readonly file: string;
  readonly what: string;
}

export interface Verdict {
  /** Empty: the bundle is as it was signed. */
  readonly faults: readonly Fault[];
  /** What is signed; null where it can't be read. */
  readonly statement: SealStatement | null;
  /** Fingerprint of the key in the archive. */
  readonly key: string | null;
  readonly corrections: number;
  /** Links of the gateways' chains in the bundle, and how many its readings confirm; null where it was not come to that. */
  readonly chain: ChainCount | null;
}

export interface VerifyOptions {
  /** The fingerprint that the record's keeper published; without it anybody's signature would do. */
  readonly key?: string | undefined;
  /** A time stamp by RFC 3161 that came beside the bundle. */
  readonly timeStamp?: Uint8Array | undefined;
}

/** Checks a bundle by itself: container, hashes, tree, signature, and its files against each other. Never throws for what is in it. */
export async function verifyBundle(bytes: Buffer, options: VerifyOptions = {}): Promise<Verdict> {
  const faults: Fault[] = [];
  const blame = (file: string, what: string): void => void faults.push({ file, what });
  let entries: FoundEntry[];
  try {
    entries = readZip(bytes);
  } catch (error) {
    return { faults: [{ file: 'the archive', what: (error as Error).message }], statement: null, key: null, corrections: 0, chain: null };
  }
  const files = unpackAll(entries, blame);
  checkContainer(bytes, entries, files, blame);
  const manifest = readCanonical(files, 'manifest.json', manifestShape, blame);
  const statement = readCanonical(files, 'seal.json', sealShape, blame);
  const key = readKey(files, blame);
  if (manifest) checkManifest(manifest, entries, files, blame);
  if (manifest && statement) checkSeal(manifest, statement, files, blame);
  if (statement && key) checkSignature('seal', files, key, blame);
  const fingerprint = key && fingerprintOf(key);
  if (statement && fingerprint !== null && statement.key !== fingerprint) blame('key.pem', `is not the key that seal.json names: found ${fingerprint}, expected ${statement.key}`);
  if (options.key !== undefined && fingerprint !== options.key.toLowerCase().replaceAll(':', '')) blame('key.pem', `is not the key that was asked for: found ${fingerprint ?? 'none'}, expected ${options.key}`);
  if (options.timeStamp && !Buffer.from(options.timeStamp).includes(Buffer.from(sha256(files.get('seal.json') ?? new Uint8Array()), 'hex'))) blame('seal.json', 'the time stamp is not of this seal: its imprint is another');
  const corrections = statement && key ? checkAddendum(files, statement, key, blame) : 0;
  if (faults.length > 0 || !statement) return { faults: unique(faults), statement, key: fingerprint, corrections, chain: null };
  return { statement, key: fingerprint, corrections, ...(await compareContents(files, statement)) };
}

type Blame = (file: string, what: string) => void;
type Files = ReadonlyMap<string, Buffer>;

function unpackAll(entries: readonly FoundEntry[], blame: Blame): Map<string, Buffer> {
  const files = new Map<string, Buffer>();
  for (const entry of entries) {
    if (files.has(entry.name)) blame(entry.name, 'is in the archive twice');
    try {
      files.set(entry.name, unpack(entry));
    } catch (error) {
      blame(entry.name, (error as Error).message);
    }
  }
  return files;
}

/** The container has one form only: it is built again from what is in it, and every byte compared. */
function checkContainer(bytes: Buffer, entries: readonly FoundEntry[], files: Files, blame: Blame): void {
  const packed = entries.map(({ name, packed: held, isDeflated }): PackedFile => {
    const plain = files.get(name) ?? Buffer.alloc(0);
    return { name, packed: held, isDeflated, size: plain.length, crc: crc32(plain) };
  });
  const again = zipOf(packed);
  if (again.bytes.equals(bytes)) return;
  const length = Math.min(again.bytes.length, bytes.length);
  let at = 0;
  while (at < length && again.bytes[at] === bytes[at]) at += 1;
  const region = again.regions.findLast(({ from }) => from <= at)?.what ?? 'the archive';
  blame(region, `the archive is not in its one form: byte ${at} differs`);
}

function readCanonical<T>(files: Files, name: string, shape: z.ZodType<T>, blame: Blame): T | null {
  const bytes = files.get(name);
  if (!bytes) {
    blame(name, 'is missing');
    return null;
  }
  try {
    const value = shape.parse(JSON.parse(bytes.toString('utf8')));
    if (!Buffer.from(canonicalJson(value)).equals(bytes)) throw new RangeError('is not in its one form');
    return value;
  } catch (error) {
    blame(name, error instanceof z.ZodError ? `is not of its form: ${error.issues.map(({ path, message }) => `${path.join('.')}: ${message}`).join('; ')}` : (error as Error).message);
    return null;
  }
}

const format = z.literal(FORMAT);
const hex = z.string().regex(/^[0-9a-f]{64}$/);
const manifestShape: z.ZodType<Manifest> = z.strictObject({ format, files: z.array(z.strictObject({ name: z.string(), size: z.number(), sha256: hex, packed: hex })) });
const sealShape: z.ZodType<SealStatement> = z.strictObject({ format, kind: z.enum(['seal', 'interim']), site: z.string(), shift: z.string(), root: hex, leaves: z.number(), minutes: z.number(), at: z.string(), key: hex });
const addendumShape: z.ZodType<Addendum> = z.strictObject({ format, shift: z.string(), earlierRoot: z.string(), at: z.string(), items: z.array(z.unknown()) });

function readKey(files: Files, blame: Blame): KeyObject | null {
  const pem = files.get('key.pem');
  try {
    if (!pem) throw new RangeError('is missing');
    const key = createPublicKey(pem);
    if (key.asymmetricKeyType !== 'ed25519') throw new RangeError(`is ${key.asymmetricKeyType ?? 'of an unknown kind'}: expected Ed25519`);
    if (!Buffer.from(key.export({ type: 'spki', format: 'pem' }).toString()).equals(pem)) throw new RangeError('is not in its one form');
    return key;
  } catch (error) {
    blame('key.pem', (error as Error).message);
    return null;
  }
}

/** What is named is there, unchanged and in order; what is not named is not there. */
function checkManifest(manifest: Manifest, entries: readonly FoundEntry[], files: Files, blame: Blame): void {
  const named = new Map(manifest.files.map((entry) => [entry.name, entry]));
  const extra = new Set<string>([...SEAL_FILES, ...ADDENDUM_FILES]);
  for (const { name, size, sha256: hash, packed } of named.values()) {
    const found = entries.find((entry) => entry.name === name);
    const bytes = files.get(name);
    if (!found) blame(name, 'is missing');
    else if (bytes && (bytes.length !== size || sha256(bytes) !== hash)) blame(name, `was changed: its SHA-256 is ${sha256(bytes)}, the manifest says ${hash}`);
    else if (sha256(found.packed) !== packed) blame(name, 'was packed anew: its bytes in the archive are not those of the manifest');
  }
  for (const { name } of entries) if (!named.has(name) && !extra.has(name)) blame(name, 'is in the archive and not in the manifest');
  const expected = [...named.keys()].sort();
  const order = entries.map(({ name }) => name);
  const whole = [...expected, ...SEAL_FILES];
  const isInOrder = [whole, [...whole, ...ADDENDUM_FILES]].some((names) => names.length === order.length && names.every((name, index) => name === order[index]));
  if (!isInOrder) blame('the archive', `its files are not those of the manifest, in their order: found ${order.join(', ')}`);
}

function checkSeal(manifest: Manifest, statement: SealStatement, files: Files, blame: Blame): void {
  const { leaves, minutes } = leavesOf(manifest.files, files.get('readings.csv') ?? new Uint8Array());
  const root = rootOf(leaves);
  if (statement.root !== root) blame('seal.json', `the root of the tree is ${root}, the seal says ${statement.root}`);
  if (statement.leaves !== leaves.length || statement.minutes !== minutes) blame('seal.json', `the tree has ${leaves.length} leaves, ${minutes} of them minutes; the seal says ${statement.leaves} and ${statement.minutes}`);
}

function checkSignature(name: 'seal' | 'addendum', files: Files, key: KeyObject, blame: Blame): void {
  const [statement, signature] = [files.get(`${name}.json`), files.get(`${name}.sig`)];
  if (!signature) blame(`${name}.sig`, 'is missing');
  else if (statement && !verify(null, statement, key, signature)) blame(`${name}.sig`, `is not a signature of ${name}.json by key.pem`);
}

/** Corrections after the seal; answers with how many there are. */
function checkAddendum(files: Files, statement: SealStatement, key: KeyObject, blame: Blame): number {
  if (!files.has('addendum.json') && !files.has('addendum.sig')) return 0;
  const addendum = readCanonical(files, 'addendum.json', addendumShape, blame);
  checkSignature('addendum', files, key, blame);
  if (!addendum) return 0;
  if (addendum.earlierRoot !== statement.root || addendum.shift !== statement.shift) blame('addendum.json', `names another seal: ${addendum.shift}, root ${addendum.earlierRoot}`);
  return addendum.items.length;
}

function unique(faults: readonly Fault[]): Fault[] {
  return [...new Map(faults.map((fault) => [`${fault.file}: ${fault.what}`, fault])).values()];
}
