import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const cloggedSeparator: Scenario = {
  name: 'clogged-separator',
  summary: 'rig A\'s separator element clogs over an hour: the loss is ahead of the pot, the blast hose costs less',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [{ since: 'live', at: 0, lasts: 7200, ramp: 3600, effect: 'supplyRestriction', on: 'rig-a', size: 75, cause: 'separator clogged' }],
};
