import { ossingTanks } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const coWind: Scenario = {
  name: 'co-wind',
  summary: 'the wind turns the engine exhaust into the intake for a quarter of an hour; no panel has a catalyst',
  site: ossingTanks,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: { ...typicalRig, catalyst: 0 },
  script: [{ since: 'live', at: 60, lasts: 900, ramp: 120, effect: 'windToIntake', on: 'site', size: 1, cause: 'exhaust in the intake' }],
};
