import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const richMix: Scenario = {
  name: 'rich-mix',
  summary: 'rig A\'s metering valve is opened too far: the commonest cause of a low nozzle',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'live', at: -20, lasts: 260, effect: 'holdHandle', on: 'rig-a', size: 1 },
    { since: 'live', at: 0, lasts: 1500, effect: 'richMix', on: 'rig-a', size: 2.2, cause: 'rich mix' },
  ],
};
