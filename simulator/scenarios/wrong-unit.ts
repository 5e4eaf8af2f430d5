import { tamberPoint } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const wrongUnit: Scenario = {
  name: 'wrong-unit',
  summary: 'rig B\'s supply transmitter is replaced by one that reports bar where psi is expected',
  site: tamberPoint,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [{ since: 'live', at: 0, lasts: 1800, effect: 'scale', on: 'rig-b/supply-pressure', size: 1 / 14.5038 - 1, cause: 'wrong unit' }],
};
