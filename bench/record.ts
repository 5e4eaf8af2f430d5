import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Shift } from '../domain/shift/shift.ts';
import { EffectsCollector } from '../domain/site/site-effects.ts';
import type { LoggedReading } from '../domain/site/log.ts';
import type { Sqlite } from '../host/open-sqlite.ts';
import { decodeSamples } from '../server/record/blocks/sample-block.ts';
import { readTrace, type TracePoint } from '../server/record/read-trace.ts';
import { rejudgeShift } from '../server/record/rejudge.ts';
import { openSqliteStore } from '../server/record/sqlite-store.ts';
import type { Store } from '../server/record/store.ts';
import { bareLoop } from './bare-loop.ts';
import { measure, type Result } from './measure.ts';
import { recordShift, type RecordedShift } from './record-shift.ts';

const SHIFT_S = 36_000;
const LONG_SAMPLES = 432_000;
const HOUR_MS = 3_600_000;

interface Held {
  readonly store: Store;
  readonly database: Sqlite;
  readonly shift: RecordedShift;
}

let held: Promise<Held> | null = null;

/** A simulated shift of ten hours on one rig, packed but for its last hour or two as it would be; made once for all that look at it. */
function packedShift(): Promise<Held> {
  return (held ??= (async () => {
    const { store, database } = openSqliteStore(join(tempDir(), 'record.db'));
    const shift = await recordShift(store, 1, SHIFT_S);
    while (await store.packNext(shift.site));
    return { store, database, shift };
  })());
}

function tempDir(): string {
  const dir = mkdtempSync(join(tmpdir(), 'potside-bench-'));
  process.on('exit', () => rmSync(dir, { recursive: true, force: true }));
  return dir;
}

/** Bytes a sample, packed: pages of blocks, log and their indexes. Floor: the same samples as rows of (time, value) under one index. */
export async function benchBytes(): Promise<Result> {
  const { database } = await packedShift();
  const one = (sql: string): number => Object.values(database.prepare(sql).get() as Record<string, number>)[0] ?? Number.NaN;
  const samples = one('SELECT sum(count) FROM block');
  const packed = one("SELECT sum(pgsize) FROM dbstat WHERE name IN ('block', 'block_by_pack', 'sqlite_autoindex_block_1', 'pack', 'sqlite_autoindex_pack_1')") / samples;
  const floor = bareRow(database);
  return { name: 'the record: bytes a packed sample', unit: 'B', value: packed, floor, ratio: packed / floor, spread: [packed / floor, packed / floor] };
}

/** Bytes of a row of time and value by point. */
function bareRow(database: Sqlite): number {
  database.exec('CREATE TABLE bare (series INTEGER, at INTEGER, value REAL, PRIMARY KEY (series, at)) WITHOUT ROWID');
  database.exec(`WITH RECURSIVE n (i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < 99999) INSERT INTO bare SELECT i % 15, 1780300000000 + i / 15 * 1000, 90 + i % 70 / 10.0 FROM n`);
  const { bytes } = database.prepare("SELECT sum(pgsize) AS bytes FROM dbstat WHERE name = 'bare'").get() as { bytes: number };
  database.exec('DROP TABLE bare');
  return bytes / 100_000;
}

/** One point at 1 Hz over five days to 2,000 pixels. Floor: decoding the same blocks and nothing else. */
export async function benchTrace(): Promise<Result> {
  const { store, database } = openSqliteStore(join(tempDir(), 'record.db'));
  const startMs = Date.UTC(2026, 5, 1);
  for (let hour = 0; hour < LONG_SAMPLES / 3600 + 3; hour += 1) {
    const readings = Array.from({ length: 3600 }, (_, second): LoggedReading => {
      const atMs = startMs + hour * HOUR_MS + second * 1000;
      const value = Math.round((95 + 3 * Math.sin(second / 200) + ((second * 7919) % 13) / 10) * 10) / 10;
      return { owner: 'rig-a', point: 'nozzle-pressure', observedAtMs: atMs, receivedAtMs: atMs, value, quality: 'good', reason: null, late: false, sequence: 1 + hour * 3600 + second };
    });
    const entry = { kind: 'batch', seq: hour + 1, atMs: startMs + hour * HOUR_MS + 3_599_500, origin: 'g/e', readings } as const;
    await store.commit({ site: 'bench', logged: [{ entry, effects: new EffectsCollector(hour + 1) }], cursors: [], snapshot: null });
  }
  while (await store.packNext('bench'));
  const blocks = (database.prepare('SELECT bytes FROM block ORDER BY hour_ms LIMIT ?').raw().all(LONG_SAMPLES / 3600) as [Buffer][]).map(([bytes]) => bytes);
  const window = { fromMs: startMs, toMs: startMs + LONG_SAMPLES * 1000 - 1, width: 2000 };
  const timed = async (work: () => unknown): Promise<number> => {
    const begun = performance.now();
    await work();
    return performance.now() - begun;
  };
  const floor = (): Promise<number> => timed(() => blocks.map(decodeSamples));
  const product = (): Promise<number> => timed(() => readTrace(store, 'bench', [{ owner: 'rig-a', id: 'nozzle-pressure', unit: '[psi]', gapMs: 60_000 }], window));
  return measure(`trace: ${LONG_SAMPLES.toLocaleString('en')} samples of a point to 2,000 px`, 'ms', floor, product, 9);
}

/** A shift of ten hours, fifteen points, to 2,000 pixels: while it runs (its last hour or two are rows), and once all of it is packed. Floor: the samples and nothing else. */
export async function benchShiftTrace(): Promise<Result[]> {
  const { store, shift } = await packedShift();
  const points = shift.points.slice(0, 15).map(({ owner, point }): TracePoint => ({ owner, id: point, unit: '', gapMs: 60_000 }));
  const window = { fromMs: shift.startAtMs, toMs: shift.endAtMs, width: 2000 };
  const floor = async (): Promise<number> => {
    const begun = performance.now();
    for (const { owner, id } of points) for await (const piece of store.pieces(shift.site, owner, id, window.fromMs, window.toMs)) if (piece.atMs.length === 0) throw new Error('an empty piece');
    return performance.now() - begun;
  };
  const product = async (): Promise<number> => {
    const begun = performance.now();
    await readTrace(store, shift.site, points, window);
    return performance.now() - begun;
  };
  const running = await measure('trace: a running shift, 10 h × 15 points to 2,000 px', 'ms', floor, product, 9);
  await packAll(store, shift);
  return [running, await measure('trace: a recorded shift, 10 h × 15 points to 2,000 px', 'ms', floor, product, 9)];
}

/** Two hours later all of a shift is packed. */
async function packAll(store: Store, { site, endAtMs }: RecordedShift): Promise<void> {
  let seq = 1;
  for await (const entry of store.readLog(site, 0)) seq = entry.seq + 1;
  const entry = { kind: 'tick', seq, atMs: endAtMs + 2 * HOUR_MS } as const;
  await store.commit({ site, logged: [{ entry, effects: new EffectsCollector(seq) }], cursors: [], snapshot: null });
  while (await store.packNext(site));
}

/** Recorded time ÷ the time two recomputations take. Floor: reading the same entries and keeping the latest value of each point. */
export async function benchRejudge(): Promise<Result> {
  const { store, shift } = await packedShift();
  const recorded = await findShift(store, shift);
  const floor = async (): Promise<number> => {
    const begun = performance.now();
    for await (const entry of store.readLog(shift.site, 0)) if (entry.kind === 'batch') bareLoop([entry.readings]);
    return (SHIFT_S * 1000) / (performance.now() - begun);
  };
  const product = async (): Promise<number> => {
    const begun = performance.now();
    const { spanMs } = await rejudgeShift(store, shift.site, recorded, { 'co-high': { limit: 12 }, 'nozzle-pressure-low': { onDelayMs: 20_000 } }, shift.endAtMs);
    return spanMs / (performance.now() - begun);
  };
  return measure('re-judging a 15-point rig, before and after: times as fast as real', '×', floor, product, 3);
}

async function findShift(store: Store, { site }: RecordedShift): Promise<Shift> {
  const [found] = await store.shiftRecord.list({ sites: [site], limit: 1 });
  if (!found) throw new Error('the shift was not recorded');
  return found.shift;
}
