import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import { unzipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { withAddendum } from '../../../server/bundle/build-bundle.ts';
import { canonicalBytes, FORMAT, leavesOf, type ManifestEntry, rootOf, sha256 } from '../../../server/bundle/bundle-form.ts';
import { openRecordKey, type RecordKey } from '../../../server/bundle/record-key.ts';
import { openSealed } from '../../../server/bundle/sealed-bundle.ts';
import { verifyBundle } from '../../../server/bundle/verify-bundle.ts';
import { packFile, type PackedFile, type Region, readZip, zipOf } from '../../../server/bundle/zip.ts';
import { sealedRecord } from '../../support/sealed-record.ts';
import { seeded } from '../../support/seeded.ts';

/** Positions tried in each large part; 10,000 in the full run. */
const POSITIONS = Number(process.env['VERIFY_POSITIONS'] ?? 20);
/** Parts up to so many bytes are tried at every position in the full run, at most so many otherwise. */
const SMALL = 4096;
const SMALL_POSITIONS = Number(process.env['VERIFY_POSITIONS'] ?? 0) > 0 ? SMALL : 20;

const dir = mkdtempSync(join(tmpdir(), 'potside-verify-'));
let record: Buffer;
let root: string;
let key: RecordKey;
let parts: readonly PackedFile[];
/** A shorter one, of which byte by byte is changed: each try checks all of it. */
let short: Buffer;
let shortParts: readonly PackedFile[];
let regions: readonly Region[];
const seed = Number(process.env['SEED'] ?? Date.now() % 1_000_000_000);
const next = seeded(seed);

beforeAll(async () => {
  ({ bytes: record, root, key } = await sealedRecord(dir));
  parts = openSealed(record);
  ({ bytes: short } = await sealedRecord(mkdtempSync(join(dir, 'short-')), 2));
  shortParts = openSealed(short);
  regions = zipOf(shortParts).regions;
});
afterAll(() => rmSync(dir, { recursive: true, force: true }));

function positionsOf(length: number): number[] {
  const most = length <= SMALL ? SMALL_POSITIONS : POSITIONS;
  if (length <= most) return Array.from({ length }, (_, index) => index);
  return Array.from({ length: most }, () => Math.floor(next() * length));
}

function flipped(bytes: Uint8Array, at: number): Buffer {
  const changed = Buffer.from(bytes);
  changed[at] = (changed[at] ?? 0) ^ (1 << Math.floor(next() * 8));
  return changed;
}

describe('an untouched record', () => {
  it('passes, and says what was signed', async () => {
    const verdict = await verifyBundle(record, { key: key.fingerprint });
    // All but the first of each owner's chain: rig, compressor, site.
    expect(verdict.chain?.links).toBeGreaterThan(300);
    expect((verdict.chain?.links ?? 0) - (verdict.chain?.confirmed ?? 0)).toBe(3);
    expect(verdict).toMatchObject({ faults: [], corrections: 0, key: key.fingerprint, statement: expect.objectContaining({ kind: 'seal', root }) });
  });

  it('is a ZIP that another program opens, with the same files', () => {
    const files = unzipSync(new Uint8Array(record));
    expect(Object.keys(files).sort()).toEqual(parts.map(({ name }) => name).sort());
    for (const { name, size, crc } of parts) expect([name, files[name]?.length, crc32(files[name] ?? new Uint8Array())]).toEqual([name, size, crc]);
  });

  it('has a signature that openssl confirms, and hashes that sha256sum gives', () => {
    const files = unzipSync(new Uint8Array(record));
    for (const name of ['seal.json', 'seal.sig', 'key.pem', 'readings.parquet', 'shift.json']) writeFileSync(join(dir, name), files[name] ?? '');
    const openssl = (data: string) => spawnSync('openssl', ['pkeyutl', '-verify', '-pubin', '-inkey', 'key.pem', '-rawin', '-in', data, '-sigfile', 'seal.sig'], { cwd: dir, encoding: 'utf8' });
    expect(openssl('seal.json').stdout).toMatch(/Verified Successfully/);
    expect(openssl('shift.json').status).not.toBe(0);
    const manifest = JSON.parse(Buffer.from(files['manifest.json'] ?? new Uint8Array()).toString()) as { files: ManifestEntry[] };
    for (const name of ['readings.parquet', 'shift.json']) expect(spawnSync('sha256sum', [name], { cwd: dir, encoding: 'utf8' }).stdout.split(' ')[0]).toBe(manifest.files.find((entry) => entry.name === name)?.sha256);
  });
});

describe('any byte that is changed', () => {
  it('in the archive makes it fail and names what it is of: headers, directory, end, packed files', async () => {
    for (const [index, { from, what }] of regions.entries()) {
      const to = regions[index + 1]?.from ?? from;
      const name = what.replace(/^(header|directory entry) of /, '');
      for (const at of positionsOf(to - from)) {
        const { faults } = await verifyBundle(flipped(short, from + at));
        const isNamed = what === 'end of the archive' ? faults.length > 0 : faults.some(({ file }) => file.endsWith(name));
        expect(isNamed, `seed ${seed}: byte ${from + at}, ${what}: ${JSON.stringify(faults)}`).toBe(true);
      }
    }
  }, 3_600_000);

  it('in a file of it, packed anew in the one form, makes it fail and names the file', async () => {
    const plain = unzipSync(new Uint8Array(short));
    for (const [index, { name, isDeflated }] of shortParts.entries()) {
      const bytes = plain[name] ?? new Uint8Array();
      for (const at of positionsOf(bytes.length)) {
        const changed = shortParts.map((part, place) => (place === index ? packFile(name, flipped(bytes, at), isDeflated) : part));
        const { faults } = await verifyBundle(zipOf(changed).bytes);
        // What the seal or the manifest says is held against the files: a changed word of theirs may be told as theirs or as the file's it names.
        const isNamed = faults.some(({ file }) => file === name || (name === 'manifest.json' && file === 'seal.json') || (name === 'seal.json' && file === 'seal.sig'));
        expect(isNamed, `seed ${seed}: byte ${at} of ${name}: ${JSON.stringify(faults)}`).toBe(true);
      }
    }
  }, 3_600_000);
});

describe('what else is found', () => {
  const faultsOf = async (bytes: Buffer, options = {}): Promise<string[]> => (await verifyBundle(bytes, options)).faults.map(({ file, what }) => `${file}: ${what}`);

  it('a record signed anew with another key, where the key is asked for', async () => {
    const other = openRecordKey(mkdtempSync(join(dir, 'other-')));
    const statement = JSON.parse(Buffer.from(parts.find(({ name }) => name === 'seal.json')?.packed ?? new Uint8Array()).toString()) as object;
    const seal = canonicalBytes({ ...statement, key: other.fingerprint });
    const own: Record<string, Uint8Array> = { 'seal.json': seal, 'seal.sig': other.sign(seal), 'key.pem': Buffer.from(other.publicPem) };
    const forged = zipOf(parts.map((part) => (own[part.name] ? packFile(part.name, own[part.name] as Uint8Array, false) : part))).bytes;
    expect(await faultsOf(forged)).toEqual([]);
    expect(await faultsOf(forged, { key: key.fingerprint })).toEqual([expect.stringMatching(/^key\.pem: is not the key that was asked for/)]);
  });

  it('files added, left out, doubled or put in another order; bytes before and after', async () => {
    const more = packFile('more.txt', Buffer.from('x'), true);
    const [first, second, ...rest] = parts;
    if (!first || !second) throw new Error('no files');
    expect(await faultsOf(zipOf([...parts, more]).bytes)).toContain('more.txt: is in the archive and not in the manifest');
    expect(await faultsOf(zipOf([second, ...rest]).bytes)).toContain(`${first.name}: is missing`);
    expect(await faultsOf(zipOf([first, first, second, ...rest]).bytes)).toContain(`${first.name}: is in the archive twice`);
    expect((await faultsOf(zipOf([second, first, ...rest]).bytes)).join()).toMatch(/in their order/);
    expect((await faultsOf(Buffer.concat([record, Buffer.from([0])]))).length).toBeGreaterThan(0);
    expect((await faultsOf(Buffer.concat([Buffer.from([0]), record]))).length).toBeGreaterThan(0);
    expect(await faultsOf(Buffer.from('no archive'))).toEqual(['the archive: this is no bundle: found no ZIP archive in it']);
  });

  it('every cut of the end', async () => {
    for (const at of positionsOf(record.length).slice(0, 20)) expect((await faultsOf(record.subarray(0, at))).length, `cut at ${at}`).toBeGreaterThan(0);
  });

  it('files that tell different things, though the signature is right', async () => {
    const csv = Buffer.from(unzipSync(new Uint8Array(record))['readings.csv'] ?? new Uint8Array());
    const wrong = Buffer.from(csv.toString().replace(',supply-pressure,', ',supply-pressure,9'));
    const signed = resign({ 'readings.csv': wrong });
    expect(await faultsOf(signed, { key: key.fingerprint })).toEqual([expect.stringMatching(/^readings\.csv: row \d+ is not that of readings\.parquet/)]);
    const alarms = JSON.parse(Buffer.from(unzipSync(new Uint8Array(record))['alarms.json'] ?? new Uint8Array()).toString());
    expect(await faultsOf(resign({ 'alarms.json': Buffer.from(JSON.stringify({ ...alarms, occurrences: [] })) }))).toEqual(['summary.json: its alarms are not those of alarms.json']);
  });

  it('an addendum that was changed, or names another seal', async () => {
    const item = { id: 'x-1-1', shift: 'x', rig: 'rig-a', atMs: 1_780_315_858_121, by: 'kim', role: 'manager', kind: 'correction', of: 'x-2-1', text: 'it was 92', root } as const;
    const shift = JSON.parse(Buffer.from(unzipSync(new Uint8Array(record))['seal.json'] ?? new Uint8Array()).toString()).shift as string;
    const added = withAddendum({ files: parts, root }, shift, [item], key);
    expect(await verifyBundle(added, { key: key.fingerprint })).toMatchObject({ faults: [], corrections: 1 });
    const at = added.indexOf('it was 92');
    expect((await faultsOf(flipped(added, at + 3))).join()).toMatch(/addendum/);
    expect(await faultsOf(withAddendum({ files: parts, root: 'ab' }, shift, [item], key))).toEqual([expect.stringMatching(/^addendum\.json: names another seal/)]);
  });

  it('a time stamp of another seal; that of this one, made by openssl, passes', async () => {
    const ran = (...args: string[]): void => expect(spawnSync('openssl', args, { cwd: dir, encoding: 'utf8' })).toMatchObject({ status: 0 });
    writeFileSync(join(dir, 'seal.json'), Buffer.from(unzipSync(new Uint8Array(record))['seal.json'] ?? new Uint8Array()));
    writeFileSync(join(dir, 'tsa.cnf'), '[req]\ndistinguished_name=dn\nx509_extensions=ext\nprompt=no\n[dn]\nCN=test\n[ext]\nextendedKeyUsage=critical,timeStamping\n[tsa]\ndefault_tsa=t\n[t]\nserial=serial\nsigner_digest=sha256\ndefault_policy=1.2.3.4\ndigests=sha256\n');
    ran('req', '-x509', '-newkey', 'rsa:2048', '-nodes', '-keyout', 'tsa.key', '-out', 'tsa.pem', '-config', 'tsa.cnf', '-days', '2');
    ran('ts', '-query', '-data', 'seal.json', '-sha256', '-no_nonce', '-out', 'q.tsq');
    ran('ts', '-reply', '-config', 'tsa.cnf', '-section', 't', '-queryfile', 'q.tsq', '-inkey', 'tsa.key', '-signer', 'tsa.pem', '-out', 'r.tsr');
    const timeStamp = readFileSync(join(dir, 'r.tsr'));
    expect(await faultsOf(record, { timeStamp })).toEqual([]);
    expect(await faultsOf(record, { timeStamp: Buffer.from('another') })).toEqual(['seal.json: the time stamp is not of this seal: its imprint is another']);
  });

  /** The record with some files changed and everything above them made anew, as only the keeper of the key can. */
  function resign(changed: Readonly<Record<string, Uint8Array>>): Buffer {
    const packed = readZip(record).slice(0, -4).map(({ name }) => packFile(name, changed[name] ?? unzipSync(new Uint8Array(record))[name] ?? new Uint8Array(), true));
    return rebuilt(packed, changed['readings.csv'] ?? Buffer.from(unzipSync(new Uint8Array(record))['readings.csv'] ?? new Uint8Array()));
  }

  function rebuilt(packed: readonly PackedFile[], csv: Uint8Array): Buffer {
    const plain = (file: PackedFile): Uint8Array => unzipSync(new Uint8Array(zipOf([file]).bytes))[file.name] ?? new Uint8Array();
    const files = packed.map((file) => ({ name: file.name, size: file.size, sha256: sha256(plain(file)), packed: sha256(file.packed) }));
    return sealUp(packed, files, csv);
  }

  function sealUp(packed: readonly PackedFile[], files: readonly ManifestEntry[], csv: Uint8Array): Buffer {
    const { leaves, minutes } = leavesOf(files, csv);
    const old = JSON.parse(Buffer.from(parts.find(({ name }) => name === 'seal.json')?.packed ?? new Uint8Array()).toString()) as object;
    const seal = canonicalBytes({ ...old, root: rootOf(leaves), leaves: leaves.length, minutes });
    const own = [packFile('manifest.json', canonicalBytes({ format: FORMAT, files }), false), packFile('seal.json', seal, false), packFile('seal.sig', key.sign(seal), false), packFile('key.pem', Buffer.from(key.publicPem), false)];
    return zipOf([...packed, ...own]).bytes;
  }
});
