import type { AlarmPriority } from '../alarms/alarm.ts';
import type { QualityReason } from '../points/reading.ts';
import type { Meaning } from '../shift/shift.ts';

const priorities: Record<AlarmPriority, string> = { critical: 'Critical', high: 'High', medium: 'Medium', low: 'Low' };
/** Why a value isn't good, or isn't there. */
const reasons: Record<QualityReason, string> = {
  stale: 'sensor silent',
  'never-seen': 'no reading yet',
  undecodable: 'can’t read what the sensor sends',
  'not-a-number': 'sensor sends no number',
  'out-of-range': 'outside the sensor’s range',
  'loop-fault-low': 'wire or sensor fault, signal too low',
  'loop-fault-high': 'wire or sensor fault, signal too high',
  'loop-saturated': 'sensor at the end of its range',
  'clock-suspect': 'sensor’s clock is off',
  'node-offline': 'the box the sensor hangs on is offline',
  'sequence-gap': 'messages of the sensor’s box were lost',
  'reported-bad': 'the sensor itself says it is bad',
  'input-missing': 'needs a sensor that isn’t there',
  'input-bad': 'needs a reading that isn’t good',
  'input-uncertain': 'rests on a reading that is uncertain',
  'not-computable': 'can’t be computed now',
  'no-flow': 'only while air flows',
  'no-trend': 'no clear trend',
  calm: 'too calm to say',
};
const meanings: Record<Meaning, string> = { 'checked and complete': 'Checked and complete', approved: 'Approved' };

/** Words of the vocabulary that screens, messages and reports share. */
export const terms = {
  priorities,
  reasons,
  roles: {
    viewer: 'viewer',
    tender: 'pot tender',
    supervisor: 'supervisor',
    'safety-officer': 'safety officer',
    manager: 'manager',
    administrator: 'administrator',
  },
  /** What a signature means. */
  meanings,
};
