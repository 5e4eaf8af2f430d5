import type { CompressorSheet, RigSheet, WeatherSheet } from './scenario.ts';

/** One compressor that carries two rigs on 3/8 in nozzles with something in hand. */
export const typicalCompressor: CompressorSheet = {
  ratedFlow: '600cfm',
  ratedPressure: '125psi',
  setPressure: '102psi',
  band: '11psi',
  sump: '14ft3',
  receiver: '20ft3',
  intakeBearing: '250deg',
};

export const typicalRig: RigSheet = {
  vessel: { ratedPressure: '125psi', volume: '6.5ft3' },
  supplyHose: { bore: '2in', length: '50ft' },
  blastHose: { bore: '1.25in', length: '100ft' },
  nozzle: '3/8in',
  wanted: '90psi..105psi',
  abrasive: '1150lb/h',
  breathing: '62psi',
  catalyst: 0.85,
  work: {
    startsAfter: 240,
    burst: [60, 240],
    reposition: [8, 45],
    refill: [150, 260],
    spell: [3000, 4200],
    breakFor: [480, 800],
    refillBelow: 0.12,
  },
};

/** A dry morning in early autumn, the wind steady from the south-west. */
export const typicalWeather: WeatherSheet = {
  hourAtStart: 7,
  mean: 18,
  swing: 5.5,
  dewPoint: 7.5,
  windFrom: 205,
  windSpeed: 3,
  steel: { lagH: 1.4, sunlit: 5, nightSky: 1.5, startsAbove: 0.5 },
};
