import { farrowHigh } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const freezingLine: Scenario = {
  name: 'freezing-line',
  summary: 'a morning below freezing: ice grows in rig A\'s control line and the rig obeys its handle later and later',
  site: farrowHigh,
  weather: { ...typicalWeather, mean: -3, swing: 3, dewPoint: -8, steel: { ...typicalWeather.steel, startsAbove: -0.5 } },
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'live', at: 0, ramp: 2400, effect: 'controlLineSlowS', on: 'rig-a', size: 4.5, cause: 'ice in the control line' },
    { since: 'live', at: 600, ramp: 2400, effect: 'ventBlocked', on: 'rig-a', size: 0.5, cause: 'ice in the blow-down' },
  ],
};
