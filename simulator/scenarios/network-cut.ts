import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const networkCut: Scenario = {
  name: 'network-cut',
  summary: 'rig A\'s loggers lose their network for five minutes, keep what they measured and send it late',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'live', at: 0, lasts: 300, effect: 'networkCut', on: 'rig-a/line', size: 1, cause: 'network cut' },
    { since: 'live', at: 0, lasts: 300, effect: 'networkCut', on: 'rig-a/panel', size: 1, cause: 'network cut' },
  ],
};
