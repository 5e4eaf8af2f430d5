import { tamberPoint } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const compressorTrip: Scenario = {
  name: 'compressor-trip',
  summary: 'the compressor trips with both rigs blasting: everything falls at once, breathing air too',
  site: tamberPoint,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'live', at: -20, lasts: 60, effect: 'holdHandle', on: 'rig-a', size: 1 },
    { since: 'live', at: -20, lasts: 60, effect: 'holdHandle', on: 'rig-b', size: 1 },
    { since: 'live', at: 0, lasts: 480, effect: 'tripped', on: 'comp-1', size: 1, cause: 'compressor tripped' },
    { since: 'live', at: 40, lasts: 560, effect: 'noBlasting', on: 'rig-a', size: 1 },
    { since: 'live', at: 40, lasts: 560, effect: 'noBlasting', on: 'rig-b', size: 1 },
  ],
};
