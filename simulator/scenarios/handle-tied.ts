import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const handleTied: Scenario = {
  name: 'handle-tied',
  summary: 'rig A\'s handle is tied down: held for an hour on end, long after the pot has run empty',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [{ since: 'live', at: 0, lasts: 3600, effect: 'holdHandle', on: 'rig-a', size: 1, cause: 'handle tied down' }],
};
