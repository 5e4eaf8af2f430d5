import { ossingTanks } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const separatorOverwhelmed: Scenario = {
  name: 'separator-overwhelmed',
  summary: 'a humid night, a fouled aftercooler: the air arrives hot, the separators cannot keep up, the lines turn wet',
  site: ossingTanks,
  weather: { ...typicalWeather, hourAtStart: 20, mean: 26, swing: 4, dewPoint: 23.5 },
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [
    { since: 'live', at: 0, ramp: 1200, effect: 'aftercoolerFouledK', on: 'comp-1', size: 26, cause: 'aftercooler fouled' },
    { since: 'live', at: 300, ramp: 1200, effect: 'separatorCarryover', on: 'rig-a', size: 0.8, cause: 'separator overwhelmed' },
  ],
};
