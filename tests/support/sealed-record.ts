import { buildBundle } from '../../server/bundle/build-bundle.ts';
import { openRecordKey, type RecordKey } from '../../server/bundle/record-key.ts';
import type { ShiftData } from '../../server/export/shift-data.ts';
import { simulateShift, WORK } from './recorded-shift.ts';

export const PNG = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAgAAAAICAIAAABLbSncAAAAFElEQVR4nGNk+M+AFTBhFx6mEgBFYAIOrWj5FAAAAABJRU5ErkJggg==', 'base64');

/** The record of a short simulated shift with an alarm, a gap, entries, a note and a photo, signed by two. */
export async function sealedRecord(dir: string, minutes = 6): Promise<{ bytes: Buffer; root: string; key: RecordKey; data: ShiftData }> {
  const shift = await simulateShift({ dir, minutes, scenario: 'co-wind', acts: WORK, silent: [2, 3] });
  shift.store.shiftRecord.keepPhoto('ab'.repeat(32), { mediaType: 'image/png', bytes: PNG });
  await shift.act({ kind: 'add-photo', photo: 'ab'.repeat(32), mediaType: 'image/png', size: PNG.length });
  await shift.act({ kind: 'sign-off', meaning: 'checked and complete' });
  await shift.act({ kind: 'sign-off', meaning: 'approved', by: 'kim', role: 'safety-officer' });
  const key = openRecordKey(dir);
  const data = shift.data();
  const options = { version: '0.0.0', key, photo: (hash: string) => shift.store.shiftRecord.photo(hash), isReplay: false, chain: null };
  const { bytes, root } = await buildBundle(data, options);
  const again = await buildBundle(shift.data(), options);
  if (!again.bytes.equals(bytes)) throw new Error('the same data gave other bytes');
  await shift.close();
  return { bytes, root, key, data };
}
