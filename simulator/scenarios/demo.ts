import { tamberPoint } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const demo: Scenario = {
  name: 'demo',
  summary: 'a believable morning; soon after going live a kinked blast hose on rig A, then exhaust in rig B\'s breathing air',
  site: tamberPoint,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  // Rig B's panel has a particle element only: what the compressor breathes in, its blaster gets.
  rigs: { 'rig-b': { catalyst: 0, work: { ...typicalRig.work, startsAfter: 420 } } },
  script: [
    { since: 'live', at: -420, lasts: 10, effect: 'refillNow', on: 'rig-a', size: 1 },
    { since: 'live', at: -700, lasts: 10, effect: 'refillNow', on: 'rig-b', size: 1 },
    { since: 'live', at: -12, lasts: 225, effect: 'holdHandle', on: 'rig-a', size: 1 },
    { since: 'live', at: 30, lasts: 105, effect: 'holdHandle', on: 'rig-b', size: 1 },
    // Told of the gas, the blaster lets go and stays off until it has cleared.
    { since: 'live', at: 135, lasts: 210, effect: 'noBlasting', on: 'rig-b', size: 1 },
    { since: 'live', at: 40, lasts: 155, ramp: 5, effect: 'hoseKink', on: 'rig-a', size: 4.4, cause: 'kinked blast hose' },
    { since: 'live', at: 69, lasts: 58, ramp: 15, effect: 'windToIntake', on: 'site', size: 1, cause: 'exhaust in the intake' },
  ],
};
