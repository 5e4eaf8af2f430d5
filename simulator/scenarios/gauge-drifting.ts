import { tamberPoint } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const gaugeDrifting: Scenario = {
  name: 'gauge-drifting',
  summary: 'rig A\'s nozzle transmitter drifts down by 6 psi in two hours: a loss on paper only',
  site: tamberPoint,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [{ since: 'live', at: 0, ramp: 7200, effect: 'offset', on: 'rig-a/nozzle-pressure', size: -6, cause: 'gauge drifting' }],
};
