import { readSensorCheck, sensorCheckText } from '../../domain/shift/next-sensor-checks.ts';
import type { SensorCheckAction } from '../../domain/points/sensor-check.ts';
import type { JournalItem } from '../record/store.ts';

/** One line of a calibration or bump test, from its row of the journal; a refused one by what it is of. */
export function sensorCheckWords({ detail, atMs }: JournalItem): string {
  const action = detail as SensorCheckAction & { readonly by: string };
  const made = readSensorCheck(action, action.by, atMs);
  const what = action.kind === 'record-calibration' ? 'calibration' : 'bump test';
  return `${what} of ${'refusal' in made ? action.point : sensorCheckText(made.check)}`;
}
