import { createHash, createPrivateKey, createPublicKey, generateKeyPairSync, type KeyObject, sign } from 'node:crypto';
import { closeSync, existsSync, fsyncSync, openSync, readFileSync, renameSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { UserError } from '../../host/user-error.ts';

const FILE = 'record-key.pem';

/** The Ed25519 key that signs the record, kept outside the database. */
export interface RecordKey {
  /** SPKI, PEM: goes into each bundle. */
  readonly publicPem: string;
  readonly fingerprint: string;
  sign(bytes: Uint8Array): Buffer;
}

/** SHA-256 of the public key's SPKI bytes, hex. */
export function fingerprintOf(key: KeyObject): string {
  return createHash('sha256').update(key.export({ type: 'spki', format: 'der' })).digest('hex');
}

/** Reads the key of a data directory; makes it where there is none yet, readable by its owner only. */
export function openRecordKey(dataDir: string): RecordKey {
  const file = join(dataDir, FILE);
  if (!existsSync(file)) makeKey(file);
  return readRecordKey(dataDir);
}

/** @throws UserError where there is no key, or the file is none. */
export function readRecordKey(dataDir: string): RecordKey {
  const file = join(dataDir, FILE);
  let secret: KeyObject;
  try {
    secret = createPrivateKey(readFileSync(file));
  } catch (error) {
    throw new UserError(`can't read the record's key ${file}: ${(error as Error).message}`);
  }
  if (secret.asymmetricKeyType !== 'ed25519') throw new UserError(`the record's key ${file} is ${secret.asymmetricKeyType ?? 'of an unknown kind'}: expected Ed25519`);
  const open = createPublicKey(secret);
  return { publicPem: open.export({ type: 'spki', format: 'pem' }).toString(), fingerprint: fingerprintOf(open), sign: (bytes) => sign(null, bytes, secret) };
}

/** Whole or not at all: a torn key would be no key. */
function makeKey(file: string): void {
  const pem = generateKeyPairSync('ed25519').privateKey.export({ type: 'pkcs8', format: 'pem' });
  const part = `${file}.part`;
  const handle = openSync(part, 'w', 0o600);
  writeSync(handle, pem.toString());
  fsyncSync(handle);
  closeSync(handle);
  renameSync(part, file);
}
