import { tamberPoint } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const gaugeStuck: Scenario = {
  name: 'gauge-stuck',
  summary: 'rig A\'s supply transmitter repeats itself, to the last digit, for an hour',
  site: tamberPoint,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [{ since: 'live', at: 0, lasts: 3600, effect: 'stuck', on: 'rig-a/supply-pressure', size: 1, cause: 'gauge stuck' }],
};
