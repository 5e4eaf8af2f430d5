import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const deadmanSlow: Scenario = {
  name: 'deadman-slow',
  summary: 'rig A\'s blow-down outlet is all but blocked: after a release the nozzle goes on for many seconds',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  script: [{ since: 'live', at: 0, effect: 'ventBlocked', on: 'rig-a', size: 0.95, cause: 'deadman vents slowly' }],
};
