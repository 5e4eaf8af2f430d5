import { ossingTanks } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const coHotCompressor: Scenario = {
  name: 'co-hot-compressor',
  summary: 'a blocked oil cooler: the compressor overheats over half an hour and makes carbon monoxide of its own oil',
  site: ossingTanks,
  weather: { ...typicalWeather, mean: 27, dewPoint: 14 },
  compressor: typicalCompressor,
  rig: { ...typicalRig, catalyst: 0 },
  script: [{ since: 'live', at: 0, lasts: 5400, ramp: 1800, effect: 'overheatK', on: 'comp-1', size: 42, cause: 'overheated compressor' }],
};
