import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const clockOff: Scenario = {
  name: 'clock-off',
  summary: 'rig A\'s logger at the pot comes back from a restart with its clock an hour ahead',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'live', at: -20, lasts: 20, effect: 'silent', on: 'rig-a/line', size: 1, cause: 'logger restarting' },
    { since: 'live', at: 0, lasts: 1800, effect: 'clockOffS', on: 'rig-a/line', size: 3600, cause: 'clock an hour off' },
  ],
};
