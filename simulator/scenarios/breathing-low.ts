import { ossingTanks } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const breathingLow: Scenario = {
  name: 'breathing-low',
  summary: 'rig A\'s breathing regulator creeps down by 25 psi in twenty minutes until somebody sets it again',
  site: ossingTanks,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'live', at: 0, lasts: 3000, ramp: 1200, effect: 'breathingRegulatorPsi', on: 'rig-a', size: -25, cause: 'breathing regulator creeping down' },
  ],
};
