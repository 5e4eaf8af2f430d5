import { join } from 'node:path';
import { expect, it } from 'vitest';
import { recordShift } from '../../../bench/record-shift.ts';
import type { LoggedEffects } from '../../../server/record/store.ts';
import { EffectsCollector } from '../../../domain/site/site-effects.ts';
import { readTrace } from '../../../server/record/read-trace.ts';
import { openSqliteStore } from '../../../server/record/sqlite-store.ts';
import { tempDir } from '../../support/temp-dir.ts';

it('a packed shift takes 2.5 bytes a sample at most, with quality, order, times, log and index', async () => {
  const { store, database } = openSqliteStore(join(tempDir(), 'record.db'));
  const shift = await recordShift(store, 1, 4 * 3600);
  while (await store.packNext(shift.site));
  const one = (sql: string): number => Object.values(database.prepare(sql).get() as Record<string, number>)[0] ?? Number.NaN;
  const pages = one("SELECT sum(pgsize) FROM dbstat WHERE name IN ('block', 'block_by_pack', 'sqlite_autoindex_block_1', 'pack', 'sqlite_autoindex_pack_1')");
  const samples = one('SELECT sum(count) FROM block');
  const ofSensors = 'block JOIN series ON series.id = series WHERE (SELECT min(id) FROM reading WHERE reading.series = series.id) IS NOT NULL';
  const readings = one(`SELECT sum(count) FROM ${ofSensors}`);
  expect(samples).toBeGreaterThan(300_000);
  expect(readings).toBeGreaterThan(80_000);
  expect(pages / samples).toBeLessThanOrEqual(2.5);
  // What sensors sent alone, the log counted whole: what is computed is smoother and takes less.
  expect((one(`SELECT sum(length(bytes)) FROM ${ofSensors}`) + one('SELECT sum(length(bytes)) FROM pack')) / readings).toBeLessThanOrEqual(2.5);
  await store.close();
});

it('a single sample of 400 ppm is seen at the zoom of a whole shift, out of a packed hour', async () => {
  const { store } = openSqliteStore(join(tempDir(), 'record.db'));
  const startMs = Date.UTC(2026, 5, 1, 6);
  const logged = Array.from({ length: 600 }, (_, minute): LoggedEffects => {
    const readings = Array.from({ length: 60 }, (__, second) => {
      const atMs = startMs + minute * 60_000 + second * 1000;
      return { owner: 'rig-a', point: 'breathing-air-co', observedAtMs: atMs, receivedAtMs: atMs, value: minute === 313 && second === 17 ? 400 : 2.1, quality: 'good', reason: null, late: minute === 400, sequence: 1 + minute * 60 + second } as const;
    });
    return { entry: { kind: 'batch', seq: minute + 1, atMs: startMs + (minute + 1) * 60_000, origin: 'g/e', readings }, effects: new EffectsCollector(minute + 1) };
  });
  await store.commit({ site: 'pier-9', logged, cursors: [], snapshot: null });
  while (await store.packNext('pier-9'));
  const { series } = await readTrace(store, 'pier-9', [{ owner: 'rig-a', id: 'breathing-air-co', unit: '[ppm]', gapMs: 10_000 }], { fromMs: startMs, toMs: startMs + 36_000_000, width: 2000 });
  const [co] = series;
  const peak = co?.max.indexOf(400) ?? -1;
  expect(co?.atMs.length).toBe(2000);
  expect(co?.min[peak]).toBe(2.1);
  expect(co?.max.filter((value) => value === 400)).toHaveLength(1);
  // A pixel is 18 s: what is late begins and ends within one.
  expect(co?.late.filter((isLate) => isLate)).toHaveLength(4);
  await store.close();
});
