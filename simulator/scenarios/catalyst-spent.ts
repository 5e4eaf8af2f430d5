import { ossingTanks } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const catalystSpent: Scenario = {
  name: 'catalyst-spent',
  summary: 'both panels have a catalyst, but rig A\'s got wet and is spent: the same exhaust reaches one blaster and not the other',
  site: ossingTanks,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'start', at: 0, effect: 'catalystSpent', on: 'rig-a', size: 1, cause: 'breathing filter spent' },
    { since: 'live', at: 60, lasts: 600, ramp: 60, effect: 'windToIntake', on: 'site', size: 1, cause: 'exhaust in the intake' },
  ],
};
