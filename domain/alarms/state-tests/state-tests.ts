import type { StateTestName } from '../rule.ts';
import type { StateTest } from '../view.ts';
import { blastingWithoutAir, compressorTripped, coRising, supplyCollapse, supplyLowWhileTriggered, triggerNobodyUnderHood } from './air-tests.ts';
import { sensorFrozen } from './frozen-tests.ts';
import { deadmanFailed, deadmanSlow, potPressurised } from './deadman-tests.ts';
import { abrasiveStopped, freezing, lineLossOff, lineWet, nozzleWorn, separatorLoss } from './line-tests.ts';
import { beaconDead, certificateEnding, blotterDue, bumpDue, calibrationDue, clockOff, filterDue, nobodyTold, notJudged, notRecording, outboxFull, plumeWithCo, readingsSetAside, spotDue } from './site-tests.ts';

/** Every test by the name that the table uses. */
export const STATE_TESTS: Readonly<Record<StateTestName, StateTest>> = {
  'co-rising': coRising,
  'blasting-without-air': blastingWithoutAir,
  'trigger-nobody-under-hood': triggerNobodyUnderHood,
  'supply-collapse': supplyCollapse,
  'compressor-tripped': compressorTripped,
  'supply-low-while-triggered': supplyLowWhileTriggered,
  'deadman-failed': deadmanFailed,
  'deadman-slow': deadmanSlow,
  'pot-pressurised': potPressurised,
  'separator-loss': separatorLoss,
  'nozzle-worn': nozzleWorn,
  'sensor-frozen': sensorFrozen,
  'line-loss-off': lineLossOff,
  'abrasive-stopped': abrasiveStopped,
  'line-wet': lineWet,
  freezing,
  'plume-with-co': plumeWithCo,
  'bump-due': bumpDue,
  'calibration-due': calibrationDue,
  'filter-due': filterDue,
  'blotter-due': blotterDue,
  'spot-due': spotDue,
  'clock-off': clockOff,
  'beacon-dead': beaconDead,
  'outbox-full': outboxFull,
  'certificate-ending': certificateEnding,
  'readings-set-aside': readingsSetAside,
  'not-recording': notRecording,
  'not-judged': notJudged,
  'nobody-told': nobodyTold,
};
