import { type Language, isLanguage } from '../../domain/shift/language.ts';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { ShiftSummary } from '../../domain/shift/summary/summarise.ts';
import { shiftState, type ShiftItem } from '../../domain/shift/shift.ts';
import type { KeptLink } from '../../domain/wire/chain.ts';
import { EVALUATOR_VERSION } from '../../domain/site/site-snapshot.ts';
import { shiftReport } from '../export/report/report.ts';
import type { ShiftData } from '../export/shift-data.ts';
import { toWire } from '../export/to-wire.ts';
import { traceCsv } from '../export/trace-csv.ts';
import { traceParquet } from '../export/trace-parquet.ts';
import type { Photo } from '../record/shift-record.ts';
import { ADDENDUM_FILES, type Addendum, canonicalBytes, FORMAT, leavesOf, type Manifest, rootOf, SEAL_FILES, type SealStatement, sha256 } from './bundle-form.ts';
import type { RecordKey } from './record-key.ts';
import { packFile, type PackedFile, zipOf } from './zip.ts';

export interface BundleOptions {
  readonly version: string;
  readonly key: Pick<RecordKey, 'fingerprint' | 'publicPem' | 'sign'>;
  readonly photo: (sha256: string) => Photo | null;
  readonly isReplay: boolean;
  /** The gateways' chains over what they handed over; null where there are none. */
  readonly chain: readonly KeptLink[] | null;
}

export interface Bundle {
  readonly bytes: Buffer;
  readonly root: string;
}

/** The whole record of a shift as one archive that can be checked without us. The same data, version and key give the same bytes. */
export async function buildBundle(data: ShiftData, options: BundleOptions): Promise<Bundle> {
  const files = await contents(data, options);
  const names = [...files.keys()].sort();
  const packed = names.map((name) => packFile(name, files.get(name) ?? new Uint8Array(), true));
  const manifest: Manifest = { format: FORMAT, files: packed.map(({ name, size, packed: bytes }) => ({ name, size, sha256: sha256(files.get(name) ?? new Uint8Array()), packed: sha256(bytes) })) };
  const { leaves, minutes } = leavesOf(manifest.files, files.get('readings.csv') ?? new Uint8Array());
  const root = rootOf(leaves);
  const { shift, site } = data.recorded;
  const isSealed = shift.signOffs.length === 2;
  const at = new Date(shift.signOffs.at(-1)?.atMs ?? data.endMs).toISOString();
  const statement: SealStatement = { format: FORMAT, kind: isSealed ? 'seal' : 'interim', site, shift: shift.id, root, leaves: leaves.length, minutes, at, key: options.key.fingerprint };
  const sealed = canonicalBytes(statement);
  const own: Record<(typeof SEAL_FILES)[number], Uint8Array> = { 'manifest.json': canonicalBytes(manifest), 'seal.json': sealed, 'seal.sig': options.key.sign(sealed), 'key.pem': Buffer.from(options.key.publicPem) };
  const { bytes } = zipOf([...packed, ...SEAL_FILES.map((name) => packFile(name, own[name], false))]);
  return { bytes, root };
}

/** A sealed bundle with what was added since: its own files stay byte for byte, and the addendum names their root. */
export function withAddendum(sealed: { readonly files: readonly PackedFile[]; readonly root: string }, shift: string, items: readonly ShiftItem[], key: Pick<RecordKey, 'sign'>): Buffer {
  const at = new Date(items.at(-1)?.atMs ?? 0).toISOString();
  const addendum: Addendum = { format: FORMAT, shift, earlierRoot: sealed.root, at, items: items.map(toWire) };
  const bytes = canonicalBytes(addendum);
  const added: Record<(typeof ADDENDUM_FILES)[number], Uint8Array> = { 'addendum.json': bytes, 'addendum.sig': key.sign(bytes) };
  return zipOf([...sealed.files, ...ADDENDUM_FILES.map((name) => packFile(name, added[name], false))]).bytes;
}

async function contents(data: ShiftData, options: BundleOptions): Promise<Map<string, Uint8Array>> {
  const { recorded, config, items, summary, journal, moves, points } = data;
  const { shift, site } = recorded;
  const measured = points.filter(({ isComputed }) => !isComputed);
  const computed = points.filter(({ isComputed }) => isComputed);
  const about = { shift: shift.id, site, rig: shift.rig, zone: config.site.zone, version: options.version, replay: String(options.isReplay), drill: String(shift.drill) };
  const files = new Map<string, Uint8Array>([
    ['README.txt', Buffer.from(README)],
    ['alarms.json', pretty({ occurrences: summary.alarms.occurrences, moves })],
    ['chain.json', pretty({ links: options.chain ?? [], says: options.chain ? CHAIN : 'the gateways made no chain of hashes over these readings' })],
    ['journal.json', pretty(journal)],
    ['readings.csv', Buffer.from(traceCsv(measured, config.site.zone))],
    ['readings.parquet', traceParquet(measured, about)],
    ['computed.parquet', traceParquet(computed, about)],
    ['report.pdf', await shiftReport(data, { version: options.version, photo: (hash) => options.photo(hash)?.bytes ?? null, isReplay: options.isReplay, language: reportLanguage(config) })],
    ['shift.json', pretty({ ...shift, seal: null, site, state: shiftState(shift), replay: options.isReplay, items })],
    ['summary.json', summaryFile(summary)],
    ['system.json', pretty(systemOf(data, options))],
  ]);
  for (const item of items) {
    if (item.kind !== 'photo') continue;
    const photo = options.photo(item.photo);
    if (photo) files.set(`photos/${item.photo}.${photo.mediaType === 'image/png' ? 'png' : 'jpg'}`, photo.bytes);
  }
  return files;
}

/** What a stranger must know of the system that made the record. */
function systemOf({ config, journal, summary }: ShiftData, { version, key }: BundleOptions): unknown {
  const { mqtt: _mqtt, ...site } = config;
  return {
    program: 'Potside',
    version,
    format: FORMAT,
    evaluator: EVALUATOR_VERSION,
    node: process.version,
    timeZoneData: process.versions['tz'] ?? 'unknown',
    icu: process.versions['icu'] ?? 'unknown',
    zone: config.site.zone,
    report: { language: reportLanguage(config) },
    clock: { source: 'the wall clock of the server at its start, then its monotonic clock; never backwards', jumps: journal.filter(({ kind }) => kind === 'clock') },
    key: { algorithm: 'Ed25519', fingerprint: key.fingerprint, fingerprintIs: 'SHA-256 of the public key’s SPKI bytes' },
    gaps: summary.coverage.flatMap(({ owner, point, gaps }) => gaps.map((gap) => ({ owner, point, ...gap }))),
    site,
    limits: 'Names of people are in this record. Readings are as the sensors gave them, on each point’s grid; what a sensor did not give is a gap. Computed points and estimates are marked as such and are no measurements.',
    verification: README,
  };
}

/** As it lies in a bundle. */
export function summaryFile(summary: ShiftSummary): Buffer {
  return pretty(summary);
}

/** One report is sealed, in the site's language: the same record gives the same bytes, whoever asks. */
export function reportLanguage({ site }: SiteConfig): Language {
  return site.language ?? 'en';
}

/** In which language the report of this bundle is; those of before there was a choice say nothing. */
export function sealedLanguage(system: Uint8Array): Language {
  const { report } = JSON.parse(Buffer.from(system).toString('utf8')) as { report?: { language?: unknown } };
  return isLanguage(report?.language) ? report.language : 'en';
}

function pretty(value: unknown): Buffer {
  return Buffer.from(`${JSON.stringify(toWire(value), null, 1)}\n`);
}

const CHAIN = 'Each gateway chains what it takes in, by owner, before anything leaves it. A link is SHA-256 over the bytes of the link before it and the canonical JSON of the readings of this owner since (observedAtMs, point, quality, reason, receivedAtMs, sequence, value; keys in this order, in order of sequence). The first hash is SHA-256 of {epoch, gateway, owner} as canonical JSON.';

const README = `This is the record of one shift of an abrasive-blasting rig, made by Potside.

Potside monitors and advises; it controls nothing. It is no substitute for the carbon monoxide
alarm, the deadman or a competent person. Local codes, the equipment's manuals and licensed
practice come first.

To check it, offline and without the database:

  potside verify record.zip --key FINGERPRINT

FINGERPRINT is that of the key the record's keeper published. Without it the check tells only
that nothing was changed after it was signed with the key that lies in the archive.

With other tools:

  sha256sum FILE                 is the "sha256" of FILE in manifest.json
  openssl pkeyutl -verify -pubin -inkey key.pem -rawin -in seal.json -sigfile seal.sig
  the root in seal.json          is the Merkle tree hash (RFC 9162, 2.1.1) over the entries of
                                 manifest.json (each as JSON, keys in order, no spaces), then
                                 over the rows of each minute of readings.csv, with line ends

readings.csv and readings.parquet hold the same rows: what the sensors gave. computed.parquet
holds what was computed of them. Times are UTC; the CSV tells the site's clock beside it.
`;
