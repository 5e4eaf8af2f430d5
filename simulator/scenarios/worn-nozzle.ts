import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const wornNozzle: Scenario = {
  name: 'worn-nozzle',
  summary: 'rig A\'s nozzle liner wears out over the shift: 1.6 mm in eight hours, more air hour by hour',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [{ since: 'start', at: 0, ramp: 28_800, effect: 'nozzleWornMm', on: 'rig-a', size: 1.6, cause: 'worn nozzle' }],
};
