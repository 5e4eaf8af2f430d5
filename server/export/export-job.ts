import type { Headline } from '../../domain/shift/headline.ts';
import type { Language } from '../../domain/shift/language.ts';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import { headlineOf } from '../../domain/shift/summary/summarise.ts';
import { type BundleOptions, buildBundle, reportLanguage, sealedLanguage, summaryFile, withAddendum } from '../bundle/build-bundle.ts';
import { openRecordKey } from '../bundle/record-key.ts';
import { fileOf, openSealed } from '../bundle/sealed-bundle.ts';
import type { KeptLink } from '../../domain/wire/chain.ts';
import type { Photo, RecordedShift } from '../record/shift-record.ts';
import type { Store } from '../record/store.ts';
import { type ReportOptions, shiftReport } from './report/report.ts';
import { readShift, type ShiftData } from './shift-data.ts';
import { toWire } from './to-wire.ts';
import { traceCsv } from './trace-csv.ts';
import { traceParquet } from './trace-parquet.ts';

export type ExportKind = 'summary' | 'headline' | 'report' | 'bundle' | 'csv' | 'parquet';

/** What is to be made of a shift: plain data, so that another thread can make it. */
export interface ExportJob {
  readonly kind: ExportKind;
  readonly shift: string;
  readonly config: SiteConfig;
  readonly nowMs: number;
  readonly version: string;
  readonly dataDir: string;
  /** Point ids for a trace; null for all measured ones. */
  readonly points: readonly string[] | null;
  /** Of a report; without it as it was sealed, or the site's. */
  readonly language?: Language;
}

export interface ExportResult {
  readonly bytes?: Uint8Array;
  readonly root?: string;
  readonly fingerprint?: string;
  readonly headline?: Headline;
  readonly summary?: unknown;
  /** Why it can't be made as it was asked for. */
  readonly refusal?: string;
}

/** Makes one export from the record. What was sealed is given out as it was sealed, with later corrections as an addendum. */
export async function runExport(store: Store, job: ExportJob): Promise<ExportResult> {
  const recorded = await store.shiftRecord.find(job.shift);
  if (!recorded) throw new Error(`no shift ${job.shift}`);
  const sealed = recorded.shift.seal === null ? null : await store.shiftRecord.bundle(job.shift);
  if (sealed) {
    if (job.kind === 'bundle') return bundleOf(store, job, recorded, sealed);
    if (job.kind === 'report') return reportOf(store, job, recorded, sealed);
    if (job.kind === 'summary') return { summary: JSON.parse(Buffer.from(fileOf(sealed, 'summary.json')).toString('utf8')) as unknown };
  }
  const data = await readShift(store, job.config, recorded, job.nowMs);
  // Whatever was recorded while a shift was played again is a replay for good, in every export.
  const isReplay = await store.replays.reachesInto(recorded.site, data.summary.fromMs, data.endMs);
  switch (job.kind) {
    case 'headline':
      return { headline: headlineOf(data.summary) };
    case 'summary':
      return { summary: toWire(data.summary) };
    case 'report': {
      return { bytes: await reportIn(job.language ?? reportLanguage(job.config), store, job, data, isReplay) };
    }
    case 'csv':
      return { bytes: Buffer.from(traceCsv(wanted(data, job.points), job.config.site.zone)) };
    case 'parquet':
      return { bytes: traceParquet(wanted(data, job.points), { shift: job.shift, site: recorded.site, rig: recorded.shift.rig, zone: job.config.site.zone, version: job.version, replay: String(isReplay), drill: String(recorded.shift.drill) }) };
    case 'bundle': {
      const options = await bundleOptions(store, job, data, isReplay);
      return { ...(await buildBundle(data, options)), fingerprint: options.key.fingerprint };
    }
  }
}

function wanted({ points }: ShiftData, ids: readonly string[] | null): ShiftData['points'] {
  return points.filter(({ point, isComputed }) => (ids === null ? !isComputed : ids.includes(point)));
}

/** What was sealed as it was sealed; in another language made anew, as long as the record still gives the figures that were sealed. */
async function reportOf(store: Store, job: ExportJob, recorded: RecordedShift, sealed: Uint8Array): Promise<ExportResult> {
  const from = sealedLanguage(fileOf(sealed, 'system.json'));
  const { language = from } = job;
  if (language === from) return { bytes: fileOf(sealed, 'report.pdf') };
  const data = await readShift(store, job.config, recorded, job.nowMs);
  if (!summaryFile(data.summary).equals(fileOf(sealed, 'summary.json'))) return { refusal: 'what was sealed is no longer to be had in another language: its readings were erased, or this version counts otherwise' };
  const isReplay = await store.replays.reachesInto(recorded.site, data.summary.fromMs, data.endMs);
  return { bytes: await reportIn(language, store, job, data, isReplay, { from, root: recorded.shift.seal?.root ?? '' }) };
}

async function reportIn(language: Language, store: Store, { version }: ExportJob, data: ShiftData, isReplay: boolean, translates?: ReportOptions['translates']): Promise<Uint8Array> {
  const photos = await photosOf(store, data);
  return shiftReport(data, { version, photo: (hash) => photos(hash)?.bytes ?? null, isReplay, language, ...(translates ? { translates } : {}) });
}

async function bundleOf(store: Store, job: ExportJob, { shift }: RecordedShift, sealed: Uint8Array): Promise<ExportResult> {
  const added = (await store.shiftRecord.items(shift.id)).filter((item) => item.kind === 'correction' && item.root !== null);
  const root = shift.seal?.root ?? '';
  if (added.length === 0) return { bytes: sealed, root };
  return { bytes: withAddendum({ files: openSealed(sealed), root }, shift.id, added, openRecordKey(job.dataDir)), root };
}

/** The photos of a shift, by the SHA-256 of their bytes. */
async function photosOf(store: Store, { items }: ShiftData): Promise<(sha256: string) => Photo | null> {
  const photos = new Map<string, Photo | null>();
  for (const item of items) if (item.kind === 'photo') photos.set(item.photo, await store.shiftRecord.photo(item.photo));
  return (sha256) => photos.get(sha256) ?? null;
}

async function bundleOptions(store: Store, { version, dataDir }: ExportJob, data: ShiftData, isReplay: boolean): Promise<BundleOptions> {
  return { version, isReplay, key: openRecordKey(dataDir), photo: await photosOf(store, data), chain: await chainOf(store, data) };
}

/** The links that the gateways made over what they received from these owners during the shift; null where none came. */
async function chainOf(store: Store, { recorded, endMs, points }: ShiftData): Promise<BundleOptions['chain']> {
  const owners = [...new Set(points.filter(({ isComputed }) => !isComputed).map(({ owner }) => owner))].sort();
  const links: KeptLink[] = [];
  for (const owner of owners) links.push(...(await store.chainLinks(recorded.site, owner, recorded.shift.startedAtMs, endMs)));
  return links.length === 0 ? null : links;
}
