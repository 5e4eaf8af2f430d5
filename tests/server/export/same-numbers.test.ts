import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { tableFromIPC } from 'apache-arrow';
import { parquetReadObjects } from 'hyparquet';
import { readParquet } from 'parquet-wasm/node';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { REPORT_WORDS } from '../../../domain/words/report-words.ts';
import { shiftReport } from '../../../server/export/report/report.ts';
import type { PointRows, ShiftData } from '../../../server/export/shift-data.ts';
import { CSV_COLUMNS, guardText, traceCsv } from '../../../server/export/trace-csv.ts';
import { traceParquet } from '../../../server/export/trace-parquet.ts';
import { say } from '../../../server/export/report/say.ts';
import { Downsampler } from '../../../server/record/downsample.ts';
import type { Store } from '../../../server/record/store.ts';
import { simulateShift, WORK, type SimulatedShift } from '../../support/recorded-shift.ts';

const dir = mkdtempSync(join(tmpdir(), 'potside-export-'));
let shift: SimulatedShift;
let data: ShiftData;
let store: Store;

beforeAll(async () => {
  shift = await simulateShift({ dir, minutes: 8, scenario: 'co-wind', acts: WORK, silent: [5, 6] });
  ({ store } = shift);
  data = await shift.data();
});
afterAll(async () => {
  await shift.close();
  rmSync(dir, { recursive: true, force: true });
});

const measured = (): PointRows[] => data.points.filter(({ isComputed }) => !isComputed);

interface Row {
  readonly [column: string]: unknown;
}

/** Rows by a reader that is not ours. */
function readWithRust(bytes: Uint8Array): { rows: Row[]; metadata: Map<string, string>; types: Record<string, string> } {
  const table = tableFromIPC(readParquet(bytes).intoIPCStream());
  return { rows: table.toArray().map((row) => (row as { toJSON(): Row }).toJSON()), metadata: table.schema.metadata, types: Object.fromEntries(table.schema.fields.map(({ name, type }) => [name, String(type)])) };
}

function readCsv(text: string): Row[] {
  const [head = '', ...lines] = text.split('\r\n');
  const names = head.split(',');
  return lines.slice(0, -1).map((line) => Object.fromEntries(line.split(',').map((field, index) => [names[index] ?? '', field])));
}

describe('trace, summary, report, CSV and Parquet', () => {
  it('tell the same numbers, point by point', async () => {
    const csv = readCsv(traceCsv(data.points, data.config.site.zone));
    const { rows } = readWithRust(traceParquet(data.points, {}));
    expect(csv.length).toBe(rows.length);
    const { fromMs, toMs } = data.summary;
    for (const { owner, point, gapMs } of data.points) {
      const ofCsv = csv.filter((row) => row['owner'] === owner && row['point'] === point);
      const ofParquet = rows.filter((row) => row['owner'] === owner && row['point'] === point);
      expect(ofCsv.map((row) => [row['time_utc'], row['value'] === '' ? null : Number(row['value']), row['quality']]), point).toEqual(ofParquet.map((row) => [new Date(Number(row['time'])).toISOString(), row['value'], row['quality']]));
      // The trace as the screen asks for it: its lowest and highest are those of the rows.
      const drawing = new Downsampler({ fromMs, toMs, width: 500, gapMs });
      for await (const piece of store.pieces(data.recorded.site, owner, point, fromMs, toMs)) drawing.add(piece);
      const trace = drawing.drawn();
      const usable = ofCsv.flatMap((row) => (row['quality'] === 'bad' || row['value'] === '' ? [] : [Number(row['value'])]));
      const shown = (column: readonly (number | null)[]): number[] => column.filter((value) => value !== null);
      if (usable.length === 0) continue;
      expect([point, Math.min(...shown(trace.min)), Math.max(...shown(trace.max))]).toEqual([point, Math.min(...usable), Math.max(...usable)]);
    }
    const values = (point: string): number[] => csv.flatMap((row) => (row['point'] === point && row['quality'] !== 'bad' ? [Number(row['value'])] : []));
    expect(data.summary.coMax).toEqual({ value: Math.max(...values('breathing-air-co')), unit: '[ppm]' });
    expect(data.summary.nozzle?.highest.value).toBe(Math.max(...values('nozzle-pressure')));
    const pdf = await shiftReport(data, { version: '0.0.0', photo: () => null, isReplay: false, language: 'en' });
    writeFileSync(join(dir, 'report.pdf'), pdf);
    const { stdout, status } = spawnSync('pdftotext', ['-layout', 'report.pdf', '-'], { cwd: dir, encoding: 'utf8' });
    expect(status).toBe(0);
    const words = stdout.replaceAll(/\s+/g, ' ');
    for (const told of [say(data.summary.coMax), say(data.summary.nozzle?.median ?? null), say(data.summary.nozzle?.highest ?? null), 'nothing was heard from the site', 'Ray', 'lot 4711', 'gasket at the second coupling changed', 'no substitute for the carbon monoxide alarm']) expect(words).toContain(told);
  });
});

describe('the CSV', () => {
  it('is RFC 4180: CRLF, a header, as many fields in each line; times in UTC and of the site', () => {
    const text = traceCsv(measured(), 'America/Chicago');
    const lines = text.split('\r\n');
    expect(lines[0]).toBe(CSV_COLUMNS.join(','));
    expect([lines.at(-1), text.replaceAll('\r\n', '').includes('\n')]).toEqual(['', false]);
    for (const line of lines.slice(0, -1)) expect(line.split(',')).toHaveLength(CSV_COLUMNS.length);
    expect(lines[1]).toMatch(/^2026-06-01T12:00:0\d\.\d{3}Z,2026-06-01T07:00:0\d\.\d{3}-05:00,/);
  });

  it('tells both half past ones of the night the clocks go back', () => {
    const atMs = [Date.UTC(2026, 10, 1, 6, 30), Date.UTC(2026, 10, 1, 7, 30)];
    const rows: PointRows = { owner: 'rig-a', point: 'supply-pressure', unit: '[psi]', isComputed: false, gapMs: 60_000, atMs, receivedAtMs: atMs, value: [100, -1.5], quality: ['good', 'bad'], reason: [null, 'out-of-range'], late: [false, true], sequence: [7, null] };
    expect(traceCsv([rows], 'America/Chicago').split('\r\n').slice(1, 3)).toEqual([
      '2026-11-01T06:30:00.000Z,2026-11-01T01:30:00.000-05:00,rig-a,supply-pressure,100,[psi],good,,false,2026-11-01T06:30:00.000Z,7',
      '2026-11-01T07:30:00.000Z,2026-11-01T01:30:00.000-06:00,rig-a,supply-pressure,-1.5,[psi],bad,out-of-range,true,2026-11-01T07:30:00.000Z,',
    ]);
  });

  it('guards text that a spreadsheet would run, and leaves numbers alone', () => {
    for (const text of ['=1+1', '+1', '-1', '@x', '\tx', '\rx', '\nx']) expect(guardText(text)).toBe(`'${text}`);
    for (const text of ['rig-a', '[psi]', '', 'a=b']) expect(guardText(text)).toBe(text);
  });
});

describe('the Parquet file', () => {
  it('is read by another program: types, null where there is no value, units in the metadata', () => {
    const { rows, metadata, types } = readWithRust(traceParquet(measured(), { shift: shift.id }));
    expect(types).toMatchObject({ time: expect.stringMatching(/Timestamp/), value: 'Float64', late: 'Bool', unit: 'Utf8', received: expect.stringMatching(/Timestamp/) });
    expect(rows.length).toBe(measured().reduce((sum, { atMs }) => sum + atMs.length, 0));
    expect(metadata.get('potside.shift')).toBe(shift.id);
    expect(JSON.parse(metadata.get('potside.units') ?? '{}')).toMatchObject({ 'rig-a/breathing-air-co': '[ppm]', 'rig-a/supply-pressure': '[psi]' });
  });

  it('has an empty value where the sensor gave none', () => {
    const rows: PointRows = { owner: 'rig-a', point: 'supply-pressure', unit: '[psi]', isComputed: false, gapMs: 60_000, atMs: [1, 2], receivedAtMs: [1, null], value: [null, 3.5], quality: ['bad', 'good'], reason: ['undecodable', null], late: [false, false], sequence: [1, 2] };
    expect(readWithRust(traceParquet([rows], {})).rows.map(({ value, reason }) => [value, reason])).toEqual([[null, 'undecodable'], [3.5, null]]);
  });

  it('is made of no rows at all too; hyparquet reads it, stricter readers do not (docs/shift-record.md)', async () => {
    const bytes = traceParquet([], {});
    expect(await parquetReadObjects({ file: bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer })).toEqual([]);
  });
});

describe('the report', () => {
  it('has the same bytes for the same data and version, its fonts embedded, and nothing that runs', async () => {
    const make = async (): Promise<Uint8Array> => shiftReport(await shift.data(), { version: '0.0.0', photo: () => null, isReplay: false, language: 'en' });
    const [one, two] = [await make(), await make()];
    expect(Buffer.from(one).equals(Buffer.from(two))).toBe(true);
    writeFileSync(join(dir, 'report.pdf'), one);
    const fonts = spawnSync('pdffonts', ['report.pdf'], { cwd: dir, encoding: 'utf8' }).stdout.split('\n').slice(2, -1);
    expect(fonts.length).toBeGreaterThan(0);
    for (const line of fonts) expect(line).toMatch(/EncodeSans.*yes yes yes/);
    expect(Buffer.from(one).toString('latin1')).not.toMatch(/\/JavaScript|\/Launch|\/OpenAction/);
  });

  it('is worded in Spanish throughout, with what people wrote as they wrote it', async () => {
    const pdf = await shiftReport(data, { version: '0.0.0', photo: () => null, isReplay: false, language: 'es', translates: { from: 'en', root: 'ab'.repeat(32) } });
    writeFileSync(join(dir, 'es.pdf'), pdf);
    const text = spawnSync('pdftotext', ['-layout', 'es.pdf', '-'], { cwd: dir, encoding: 'utf8' }).stdout.replaceAll(/\s+/g, ' ');
    for (const told of ['Informe del turno', 'Monóxido de carbono alto en el aire respirable', 'no se oyó nada de la obra', 'práctica común, sin fuente', 'Esto es una traducción', say(data.summary.coMax), 'Ray', 'lot 4711', 'gasket at the second coupling changed', 'el hombre muerto']) expect(text).toContain(told);
    const english = Object.entries(REPORT_WORDS.en).flatMap(([key, word]) => (typeof word === 'string' && word.length > 7 && word !== (REPORT_WORDS.es as Record<string, unknown>)[key] ? [word] : []));
    expect(english.filter((word) => text.includes(word))).toEqual([]);
    expect(text).not.toMatch(/\b(the|with|from|at least|at most|critical|high|of \d)\b(?! second coupling)/);
  });

  it('says across every page that a replay is one, and a drill', async () => {
    const texts = await Promise.all(
      [{ isReplay: true, drill: false }, { isReplay: false, drill: true }].map(async ({ isReplay, drill }, index) => {
        const { recorded } = data;
        const pdf = await shiftReport({ ...data, recorded: { ...recorded, shift: { ...recorded.shift, drill } } }, { version: '0.0.0', photo: () => null, isReplay, language: 'en' });
        writeFileSync(join(dir, `${index}.pdf`), pdf);
        return spawnSync('pdftotext', [`${index}.pdf`, '-'], { cwd: dir, encoding: 'utf8' }).stdout.split('\f').slice(0, -1);
      }),
    );
    for (const page of texts[0] ?? []) expect(page).toContain('REPLAY');
    for (const page of texts[1] ?? []) expect(page).toContain('DRILL');
  });
});
