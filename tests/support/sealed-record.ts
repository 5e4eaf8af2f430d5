import { openRecordKey, type RecordKey } from '../../server/bundle/record-key.ts';
import { type ExportJob, runExport } from '../../server/export/export-job.ts';
import { simulateShift, WORK } from './recorded-shift.ts';

const PNG = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAgAAAAICAIAAABLbSncAAAAFElEQVR4nGNk+M+AFTBhFx6mEgBFYAIOrWj5FAAAAABJRU5ErkJggg==', 'base64');

/** The record of a short simulated shift with an alarm, a gap, entries, a note, a photo and the gateway's chain, signed by two. */
export async function sealedRecord(dir: string, minutes = 6): Promise<{ bytes: Buffer; root: string; key: RecordKey }> {
  const shift = await simulateShift({ dir, minutes, scenario: 'co-wind', acts: WORK, silent: [2, 3] });
  await shift.store.shiftRecord.keepPhoto('ab'.repeat(32), { mediaType: 'image/png', bytes: PNG });
  await shift.act({ kind: 'add-photo', photo: 'ab'.repeat(32), mediaType: 'image/png', size: PNG.length });
  await shift.act({ kind: 'sign-off', meaning: 'checked and complete' });
  await shift.act({ kind: 'sign-off', meaning: 'approved', by: 'kim', role: 'safety-officer' });
  const key = openRecordKey(dir);
  const job: ExportJob = { kind: 'bundle', shift: shift.id, config: shift.config, nowMs: 0, version: '0.0.0', dataDir: dir, points: null };
  const { bytes, root } = await runExport(shift.store, job);
  const again = await runExport(shift.store, job);
  await shift.close();
  if (!bytes || root === undefined) throw new Error('no bundle was made');
  if (!Buffer.from(again.bytes ?? []).equals(Buffer.from(bytes))) throw new Error('the same data gave other bytes');
  return { bytes: Buffer.from(bytes), root, key };
}
