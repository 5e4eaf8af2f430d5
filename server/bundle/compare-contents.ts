import { parquetReadObjects } from 'hyparquet';
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
}

/**
 * Holds the files of an intact bundle against each other: what was signed may still have been wrong when it was made. Compared are the
 * rows of CSV and Parquet one by one, alarms with the journal and the summary, and the highest carbon monoxide with the readings.
 */
export async function compareContents(files: ReadonlyMap<string, Buffer>, statement: SealStatement): Promise<Fault[]> {
  try {
    const rows = await readRows(files.get('readings.parquet') ?? Buffer.alloc(0));
    return [...compareRows(rows, files), ...compareAlarms(files), ...compareSummary(rows, files, statement)];
  } catch (error) {
    return [{ file: 'the archive', what: `its files can’t be held against each other: ${(error as Error).message}` }];
  }
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
    const expected = [row.time.toISOString(), row.owner, row.point, row.value === null ? '' : String(row.value), row.unit, row.quality, row.reason ?? '', String(row.late), row.received?.toISOString() ?? ''];
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
