import { tamberPoint } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const daylightSavingNight: Scenario = {
  name: 'daylight-saving-night',
  summary: 'a night shift through the hour that comes twice: nothing to raise, and no hour lost or counted double',
  site: tamberPoint,
  meantFor: '2026-10-31T22:00:00-05:00',
  weather: { ...typicalWeather, hourAtStart: 22, mean: 11, swing: 3, dewPoint: 3 },
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [],
};
