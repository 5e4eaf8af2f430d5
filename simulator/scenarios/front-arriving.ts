import { tamberPoint } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const frontArriving: Scenario = {
  name: 'front-arriving',
  summary: 'damp air arrives ahead of a front while the steel is still cold: its margin over the dew point closes',
  site: tamberPoint,
  weather: { ...typicalWeather, mean: 15, dewPoint: 6.5, steel: { lagH: 5, sunlit: 1, nightSky: 2, startsAbove: -0.5 } },
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'live', at: 0, lasts: 14_400, ramp: 2700, effect: 'damperK', on: 'site', size: 5, cause: 'front arriving' },
    { since: 'live', at: 1200, lasts: 13_200, ramp: 2700, effect: 'windMS', on: 'site', size: 5 },
  ],
};
