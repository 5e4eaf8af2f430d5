import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const potEmpty: Scenario = {
  name: 'pot-empty',
  summary: 'nobody refills rig A: the pot runs empty and only air comes, the nozzle rises by some psi',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [{ since: 'start', at: 0, effect: 'noRefill', on: 'rig-a', size: 1, cause: 'pot run empty' }],
};
