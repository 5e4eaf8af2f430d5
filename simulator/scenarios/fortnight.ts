import { hollinBridge } from './places.ts';
import type { Scenario, ScriptLine } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

const DAY = 86_400;
/** Seconds from the start (six in the morning) to the day of the fortnight and the hour after six. */
const at = (day: number, hours: number): number => (day - 1) * DAY + hours * 3600;

/** The compressor is shut down over night. */
const nights: ScriptLine[] = Array.from({ length: 14 }, (_, i) => ({ since: 'start', at: at(i + 1, 11.5), lasts: 12.3 * 3600, effect: 'tripped', on: 'comp-1', size: 1 }));

export const fortnight: Scenario = {
  name: 'fortnight',
  summary: 'two weeks of day shifts for the manager: wear, one day of exhaust, a leak that grows, a day of rain',
  site: hollinBridge,
  weather: { ...typicalWeather, hourAtStart: 6 },
  compressor: typicalCompressor,
  rig: { ...typicalRig, work: { ...typicalRig.work, hours: [7, 17] } },
  script: [
    ...nights,
    { since: 'start', at: at(1, 0), lasts: at(9, 0), ramp: at(9, 0), effect: 'nozzleWornMm', on: 'rig-a', size: 1.5, cause: 'worn nozzle' },
    { since: 'start', at: at(4, 5), lasts: 1500, ramp: 120, effect: 'windToIntake', on: 'site', size: 1, cause: 'exhaust in the intake' },
    { since: 'start', at: at(6, 1), lasts: 3 * DAY, ramp: 2 * DAY, effect: 'supplyLeakMm', on: 'rig-b', size: 4, cause: 'leak on the supply side' },
    { since: 'start', at: at(11, 2), lasts: 8 * 3600, ramp: 3600, effect: 'damperK', on: 'site', size: 7, cause: 'rain' },
  ],
};
