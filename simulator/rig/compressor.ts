import { GAS_CONSTANT, PSI, ZERO_CELSIUS, approach, clamp } from './air.ts';
import type { CompressorEffects } from './effects.ts';

/** A portable screw compressor as it stands on site. */
export interface CompressorBuild {
  /** Free air at full opening, m³/s: the machine's own figure, not the plate's. */
  readonly capacity: number;
  /** Gauge pressure at which the inlet begins to close, Pa. */
  readonly setPressure: number;
  /** Rise above it at which the inlet is shut, Pa. */
  readonly band: number;
  /** Air in the machine's own sump, m³; breathing panels hang on its service valves. */
  readonly sumpVolume: number;
  /** Sump and the receiver beside it, m³. */
  readonly receiverVolume: number;
}

export interface Compressor {
  readonly build: CompressorBuild;
  /** Opening of the inlet, 0 to 1. */
  opening: number;
  /** Temperature at the air end's outlet, °C. */
  airEnd: number;
  /** Temperature after the aftercooler, °C. */
  delivery: number;
  /** kg/s */
  flowKgPerS: number;
}

export function createCompressor(build: CompressorBuild, ambient: number): Compressor {
  return { build, opening: 0.3, airEnd: 70 + 0.4 * ambient, delivery: ambient + 8, flowKgPerS: 0 };
}

/** The inlet valve follows the pneumatic regulator, s. */
const REGULATOR_LAG = 1.1;
const TRIP_LAG = 0.4;
/** A few hundred kilograms of iron and oil, s. */
const WARM_UP = 260;

/**
 * Moves the inlet valve and the temperatures, and sets the delivery for the next step. Modulating control: the inlet
 * closes in proportion as the receiver rises through the band. Volume is swept, so thin or warm air delivers less mass.
 */
export function stepCompressor(compressor: Compressor, receiverGauge: number, air: { atmosphere: number; ambient: number }, effects: CompressorEffects, dt: number): void {
  const { build } = compressor;
  const running = effects.tripped < 0.5;
  const wanted = running ? clamp((build.setPressure + build.band - receiverGauge) / build.band, 0, 1) : 0;
  compressor.opening = approach(compressor.opening, wanted, dt, running ? REGULATOR_LAG : TRIP_LAG);
  const density = air.atmosphere / (GAS_CONSTANT * (air.ambient + ZERO_CELSIUS));
  // Slip back through the rotors grows with the pressure they work against.
  const slip = 0.04 * clamp(receiverGauge / (100 * PSI), 0, 2);
  compressor.flowKgPerS = build.capacity * (1 - effects.capacityLost) * density * compressor.opening * (1.04 - slip);
  // A thermostat in the oil holds the air end near its temperature, whatever the weather and the load.
  const warm = running ? 70 + 0.4 * air.ambient + 10 * compressor.opening : air.ambient;
  compressor.airEnd = approach(compressor.airEnd, warm + effects.overheatK, dt, WARM_UP);
  compressor.delivery = approach(compressor.delivery, air.ambient + 3 + (7 + effects.aftercoolerFouledK) * compressor.opening + 0.12 * effects.overheatK, dt, 40);
}
