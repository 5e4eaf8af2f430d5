import { mkdirSync, writeFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { shiftReport } from '../../../server/export/report/report.ts';
import { traceCsv } from '../../../server/export/trace-csv.ts';
import { traceParquet } from '../../../server/export/trace-parquet.ts';
import { headlineOf } from '../../../domain/shift/summary/summarise.ts';
import { simulateShift, WORK } from '../../support/recorded-shift.ts';
import { tempDir } from '../../support/temp-dir.ts';

it('tries', async () => {
  const minutes = Number(process.env['MINUTES'] ?? 16);
  const shift = await simulateShift({ dir: tempDir(), minutes, scenario: process.env['SCENARIO'] ?? 'co-wind', acts: WORK, silent: [11, 12] });
  const time = async (what: string, f: () => unknown) => { const t = performance.now(); const r = await f(); console.log(what, Math.round(performance.now() - t), 'ms'); return r as any; };
  const data = await time('data', () => shift.data());
  console.log(JSON.stringify({ ...data.summary, alarms: data.summary.alarms.response }, null, 1).slice(0, 6000), headlineOf(data.summary));
  mkdirSync('/tmp/shift-out', { recursive: true });
  const pdf = await time('pdf', () => shiftReport(data, { version: '0.0.0', photo: () => null, isReplay: false }));
  writeFileSync('/tmp/shift-out/report.pdf', pdf);
  expect(Buffer.from(pdf).equals(Buffer.from(await shiftReport(data, { version: '0.0.0', photo: () => null, isReplay: false })))).toBe(true);
  const csv = await time('csv', () => traceCsv(data.points.filter((p: any) => !p.isComputed), data.config.site.zone));
  writeFileSync('/tmp/shift-out/trace.csv', csv);
  const pq = await time('parquet', () => traceParquet(data.points.filter((p: any) => !p.isComputed), { shift: shift.id }));
  writeFileSync('/tmp/shift-out/trace.parquet', pq);
  console.log(pdf.length, csv.length, pq.length, data.points.reduce((n: number, p: any) => n + p.atMs.length, 0));
  await shift.close();
}, 600_000);
