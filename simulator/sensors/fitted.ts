import type { SensorBuild } from './sensor.ts';

/**
 * The transmitters a contractor would fit, in the unit they report. Figures are those of ordinary industrial parts,
 * from common practice; nothing here is any one maker's data sheet.
 */
/** 0 to 200 psi, 0.5 % class with a snubber. */
export const linePressure: SensorBuild = { range: [0, 200], resolution: 0.1, lag: 0.3, noise: 0.12, bias: 0.35 };
/** A ruggedised one at the moving end of the hose. */
export const nozzlePressure: SensorBuild = { range: [0, 200], resolution: 0.1, lag: 0.5, noise: 0.25, bias: 0.4 };
/** 0 to 100 psi after the regulator. */
export const breathingPressure: SensorBuild = { range: [0, 150], resolution: 0.1, lag: 0.4, noise: 0.1, bias: 0.25 };
/** Electrochemical cell: half a minute to 90 %, about ±1 ppm. */
export const carbonMonoxide: SensorBuild = { range: [0, 200], resolution: 0.1, lag: 11, noise: 0.13, bias: 0.25 };
/** Resistance element in a pocket, °C. */
export const pocketTemperature: SensorBuild = { range: [-40, 150], resolution: 0.1, lag: 25, noise: 0.04, bias: 0.25 };
/** Screened and ventilated, °C. */
export const airTemperature: SensorBuild = { range: [-40, 60], resolution: 0.1, lag: 20, noise: 0.04, bias: 0.15 };
/** Magnetic probe on steel, °C. */
export const steelProbe: SensorBuild = { range: [-40, 120], resolution: 0.1, lag: 40, noise: 0.04, bias: 0.2 };
/** %RH */
export const humidity: SensorBuild = { range: [0, 100], resolution: 0.1, lag: 30, noise: 0.25, bias: 0.9 };
/** Pressure dew point, °C: slow to dry. */
export const lineDewPoint: SensorBuild = { range: [-60, 60], resolution: 0.1, lag: 45, noise: 0.1, bias: 0.6 };
export const windVane: SensorBuild = { range: [0, 359], resolution: 1, lag: 0, noise: 3, bias: 2 };
export const anemometer: SensorBuild = { range: [0, 50], resolution: 0.1, lag: 3, noise: 0.15, bias: 0.05 };
/** hPa */
export const barometer: SensorBuild = { range: [300, 1100], resolution: 0.1, lag: 0, noise: 0.05, bias: 0.4 };
/** Free air delivered, cfm. */
export const flowMeter: SensorBuild = { range: [0, 2000], resolution: 1, lag: 2, noise: 2, bias: 4 };
/** A volt-free contact. */
export const contact: SensorBuild = { range: [0, 1], resolution: 1, lag: 0, noise: 0, bias: 0 };
