import { tamberPoint } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const leakingSupply: Scenario = {
  name: 'leaking-supply',
  summary: 'a worn gasket ahead of rig A\'s pot, found by the hold test: the valve is shut for a minute with nobody blasting',
  site: tamberPoint,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'start', at: 0, effect: 'supplyLeakMm', on: 'rig-a', size: 1.5, cause: 'leak on the supply side' },
    { since: 'live', at: -30, lasts: 180, effect: 'noBlasting', on: 'rig-a', size: 1 },
    { since: 'live', at: 0, lasts: 60, effect: 'supplyShut', on: 'rig-a', size: 1 },
  ],
};
