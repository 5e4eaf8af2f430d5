import { hollinBridge } from './places.ts';
import type { Scenario } from './scenario.ts';
import { typicalCompressor, typicalRig, typicalWeather } from './typical.ts';

export const badlySetUp: Scenario = {
  name: 'badly-set-up',
  summary: 'nothing is wrong but the limits: no deadband, no delay, a limit in the middle of the noise; alarms chatter',
  site: hollinBridge,
  weather: typicalWeather,
  compressor: typicalCompressor,
  rig: typicalRig,
  alarms: {
    'supply-pressure-low': { limit: '106psi', deadband: '0psi', 'on-delay': '0s', 'off-delay': '0s' },
    'nozzle-pressure-low': { limit: '99psi', deadband: '0psi', 'on-delay': '0s', 'off-delay': '0s' },
  },
  script: [],
};
