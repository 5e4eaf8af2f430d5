import { parquetReadObjects } from 'hyparquet';
import type { ChainedReading } from '../../domain/wire/chain.ts';
import { nextHash } from '../../host/chain-hash.ts';
import type { SealStatement } from './bundle-form.ts';
import type { Fault } from './verify-bundle.ts';

interface ParquetRow {
  readonly time: Date;
  readonly received: Date | null;
  readonly owner: string;
  readonly point: string;
  readonly value: number | null;
  readonly unit: string;
  readonly quality: string;
  readonly reason: string | null;
  readonly late: boolean;
  readonly sequence: bigint | null;
}

/**
 * Holds the files of an intact bundle against each other: what was signed may still have been wrong when it was made. Compared are the
 * rows of CSV and Parquet one by one, alarms with the journal and the summary, and the highest carbon monoxide with the readings.
 */
export async function compareContents(files: ReadonlyMap<string, Buffer>, statement: SealStatement): Promise<{ readonly faults: readonly Fault[]; readonly chain: ChainCount }> {
  try {
    const rows = await readRows(files.get('readings.parquet') ?? Buffer.alloc(0));
    return { faults: [...compareRows(rows, files), ...compareAlarms(files), ...compareSummary(rows, files, statement)], chain: confirmChain(rows, files) };
  } catch (error) {
    return { faults: [{ file: 'the archive', what: `its files can’t be held against each other: ${(error as Error).message}` }], chain: { links: 0, confirmed: 0 } };
  }
}

/** Links of the gateways' chains in the bundle, and how many its readings confirm. */
export interface ChainCount {
  readonly links: number;
  readonly confirmed: number;
}

/**
 * Hashes the readings anew, link after link. A link at the edge of the shift also covers readings that are not in the bundle, and the
 * first of each chain is only where the next begins: those can't be confirmed here, and that is no fault.
 */
function confirmChain(rows: readonly ParquetRow[], files: ReadonlyMap<string, Buffer>): ChainCount {
  const { links } = read(files, 'chain.json') as { links: { gateway: string; epoch: string; owner: string; through: number; hash: string }[] };
  const byOwner = new Map<string, ChainedReading[]>();
  for (const { owner, time, received, point, value, quality, reason, sequence } of rows) {
    if (received === null || sequence === null) continue;
    const reading = { observedAtMs: time.getTime(), receivedAtMs: received.getTime(), point, value, quality, reason, sequence: Number(sequence) } as ChainedReading;
    const known = byOwner.get(owner);
    if (known) known.push(reading);
    else byOwner.set(owner, [reading]);
  }
  for (const readings of byOwner.values()) readings.sort((a, b) => a.sequence - b.sequence);
  let confirmed = 0;
  for (const [index, link] of links.entries()) {
    const before = links[index - 1];
    if (before?.owner !== link.owner || before.gateway !== link.gateway || before.epoch !== link.epoch) continue;
    const covered = stretchOf(byOwner.get(link.owner) ?? [], before.through, link.through);
    if (covered.length > 0 && nextHash(before.hash, covered) === link.hash) confirmed += 1;
  }
  return { links: links.length, confirmed };
}

function stretchOf(readings: readonly ChainedReading[], after: number, through: number): readonly ChainedReading[] {
  return readings.slice(firstAfter(readings, after), firstAfter(readings, through));
}

function firstAfter(readings: readonly ChainedReading[], sequence: number): number {
  let [low, high] = [0, readings.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((readings[middle]?.sequence ?? 0) <= sequence) low = middle + 1;
    else high = middle;
  }
  return low;
}

async function readRows(bytes: Buffer): Promise<ParquetRow[]> {
  const file = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer;
  return (await parquetReadObjects({ file })) as unknown as ParquetRow[];
}

function compareRows(rows: readonly ParquetRow[], files: ReadonlyMap<string, Buffer>): Fault[] {
  const lines = (files.get('readings.csv') ?? Buffer.alloc(0)).toString('utf8').split('\r\n');
  const told = lines.slice(1, -1);
  if (told.length !== rows.length) return [{ file: 'readings.csv', what: `has ${told.length} rows, readings.parquet has ${rows.length}` }];
  for (const [index, row] of rows.entries()) {
    // No field of a reading can hold a comma: owners and points are ids, the rest is of closed lists. The local time is for people.
    const fields = (told[index] ?? '').split(',');
    fields.splice(1, 1);
    const expected = [row.time.toISOString(), row.owner, row.point, row.value === null ? '' : String(row.value), row.unit, row.quality, row.reason ?? '', String(row.late), row.received?.toISOString() ?? '', row.sequence === null ? '' : String(row.sequence)];
    if (fields.join(',') !== expected.join(',')) return [{ file: 'readings.csv', what: `row ${index + 1} is not that of readings.parquet: found ${fields.join(',')}, expected ${expected.join(',')}` }];
  }
  return [];
}

interface Occurrence {
  readonly id: string;
}

function compareAlarms(files: ReadonlyMap<string, Buffer>): Fault[] {
  const alarms = read(files, 'alarms.json') as { occurrences: Occurrence[]; moves: { id: string; at: string; to: string }[] };
  const journal = read(files, 'journal.json') as { kind: string; at: string; detail: { alarm?: string; to?: string } }[];
  const summary = read(files, 'summary.json') as { alarms: { occurrences: Occurrence[] } };
  const inJournal = new Set(journal.filter(({ kind }) => kind === 'alarm').map(({ at, detail }) => `${detail.alarm} ${at} ${detail.to}`));
  const unknown = alarms.moves.find(({ id, at, to }) => !inJournal.has(`${id} ${at} ${to}`));
  if (unknown) return [{ file: 'alarms.json', what: `the move of ${unknown.id} to ${unknown.to} at ${unknown.at} is not in journal.json` }];
  if (JSON.stringify(alarms.occurrences) !== JSON.stringify(summary.alarms.occurrences)) return [{ file: 'summary.json', what: 'its alarms are not those of alarms.json' }];
  return [];
}

function compareSummary(rows: readonly ParquetRow[], files: ReadonlyMap<string, Buffer>, statement: SealStatement): Fault[] {
  const shift = read(files, 'shift.json') as { id: string; rig: string };
  const summary = read(files, 'summary.json') as { shift: string; coMax: { value: number } | null };
  for (const [file, id] of [['shift.json', shift.id], ['summary.json', summary.shift]] as const) if (id !== statement.shift) return [{ file, what: `is of shift ${id}, the seal of ${statement.shift}` }];
  let highest: number | null = null;
  for (const { owner, point, value, quality } of rows) if (owner === shift.rig && point === 'breathing-air-co' && quality !== 'bad' && value !== null && (highest === null || value > highest)) highest = value;
  return highest === (summary.coMax?.value ?? null) ? [] : [{ file: 'summary.json', what: `the highest carbon monoxide is ${highest} by the readings, ${summary.coMax?.value ?? null} by the summary` }];
}

function read(files: ReadonlyMap<string, Buffer>, name: string): unknown {
  return JSON.parse((files.get(name) ?? Buffer.alloc(0)).toString('utf8'));
}
