import { tamberPoint } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const compressorSmall: Scenario = {
  name: 'compressor-small',
  summary: 'one rig runs well; when the second starts with a 7/16 in nozzle the compressor cannot keep up',
  site: tamberPoint,
  weather: typicalWeather,
  compressor: { ...typicalCompressor, ratedFlow: '335cfm' },
  rig: typicalRig,
  rigs: { 'rig-b': { nozzle: '7/16in', abrasive: '1500lb/h' } },
  script: [
    { since: 'live', at: -86_400, lasts: 86_400, effect: 'noBlasting', on: 'rig-b', size: 1 },
    { since: 'live', at: -40, lasts: 280, effect: 'holdHandle', on: 'rig-a', size: 1 },
    { since: 'live', at: 0, lasts: 240, effect: 'holdHandle', on: 'rig-b', size: 1 },
    { since: 'live', at: 0, effect: 'capacityLost', on: 'comp-1', size: 0, cause: 'compressor too small' },
  ],
};
