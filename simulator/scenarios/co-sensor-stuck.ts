import { ossingTanks } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const coSensorStuck: Scenario = {
  name: 'co-sensor-stuck',
  summary: 'rig A\'s carbon monoxide cell is dead at what it last said, and then the wind turns; rig B\'s cell sees it',
  site: ossingTanks,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: { ...typicalRig, catalyst: 0 },
  script: [
    { since: 'live', at: -300, effect: 'stuck', on: 'rig-a/breathing-air-co', size: 1, cause: 'CO sensor stuck' },
    { since: 'live', at: 60, lasts: 600, ramp: 60, effect: 'windToIntake', on: 'site', size: 1, cause: 'exhaust in the intake' },
  ],
};
