import { badlySetUp } from './badly-set-up.ts';
import { breathingLow } from './breathing-low.ts';
import { catalystSpent } from './catalyst-spent.ts';
import { clockOff } from './clock-off.ts';
import { cloggedSeparator } from './clogged-separator.ts';
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
import { gaugeDrifting } from './gauge-drifting.ts';
import { gaugeStuck } from './gauge-stuck.ts';
import { handleTied } from './handle-tied.ts';
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
  catalystSpent,
  breathingLow,
  kinkedHose,
  richMix,
  wornNozzle,
  cloggedSeparator,
  compressorSmall,
  compressorTrip,
  leakingSupply,
  deadmanSlow,
  handleTied,
  potEmpty,
  separatorOverwhelmed,
  freezingLine,
  frontArriving,
  gaugeStuck,
  gaugeDrifting,
  coSensorStuck,
  wrongUnit,
  networkCut,
  clockOff,
  daylightSavingNight,
  badlySetUp,
  fortnight,
];
