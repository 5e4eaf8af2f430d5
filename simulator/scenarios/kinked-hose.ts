import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const kinkedHose: Scenario = {
  name: 'kinked-hose',
  summary: 'rig A\'s blast hose is kinked until somebody finds it: loss there, less loss upstream',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'live', at: -20, lasts: 260, effect: 'holdHandle', on: 'rig-a', size: 1 },
    { since: 'live', at: 0, lasts: 1200, ramp: 3, effect: 'hoseKink', on: 'rig-a', size: 4.8, cause: 'kinked blast hose' },
  ],
};
