import { badlySetUp } from './badly-set-up.ts';
import { clockOff } from './clock-off.ts';
import { coHotCompressor } from './co-hot-compressor.ts';
import { coSensorStuck } from './co-sensor-stuck.ts';
import { coWind } from './co-wind.ts';
import { compressorSmall } from './compressor-small.ts';
import { compressorTrip } from './compressor-trip.ts';
import { daylightSavingNight } from './daylight-saving-night.ts';
import { deadmanSlow } from './deadman-slow.ts';
import { demo } from './demo.ts';
import { fortnight } from './fortnight.ts';
import { freezingLine } from './freezing-line.ts';
import { frontArriving } from './front-arriving.ts';
import { gaugeStuck } from './gauge-stuck.ts';
import { kinkedHose } from './kinked-hose.ts';
import { leakingSupply } from './leaking-supply.ts';
import { networkCut } from './network-cut.ts';
import { potEmpty } from './pot-empty.ts';
import { quiet } from './quiet.ts';
import { richMix } from './rich-mix.ts';
import type { Scenario } from './scenario.ts';
import { separatorOverwhelmed } from './separator-overwhelmed.ts';
import { wornNozzle } from './worn-nozzle.ts';
import { wrongUnit } from './wrong-unit.ts';

/** Every scenario there is, the everyday ones first. */
export const SCENARIO_SHEETS: readonly Scenario[] = [
  demo,
  quiet,
  coWind,
  coHotCompressor,
  kinkedHose,
  richMix,
  wornNozzle,
  compressorSmall,
  compressorTrip,
  leakingSupply,
  deadmanSlow,
  potEmpty,
  separatorOverwhelmed,
  freezingLine,
  frontArriving,
  gaugeStuck,
  coSensorStuck,
  wrongUnit,
  networkCut,
  clockOff,
  daylightSavingNight,
  badlySetUp,
  fortnight,
];
