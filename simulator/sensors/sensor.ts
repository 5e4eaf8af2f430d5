import { type Random, createRandom } from '../random.ts';

/** A transmitter as it comes out of the box. All values in the unit it reports. */
export interface SensorBuild {
  readonly range: readonly [low: number, high: number];
  /** Smallest step it reports. */
  readonly resolution: number;
  /** Time constant, s; 0 is immediate. */
  readonly lag: number;
  /** Standard deviation of its noise. */
  readonly noise: number;
  /** Standard deviation of the offset that one such sensor has against another. */
  readonly bias: number;
}

/** What is wrong with a sensor at the moment. */
export interface SensorFault {
  /** Repeats what it said last. */
  readonly stuck: boolean;
  /** Added to what it says, in its unit. */
  readonly offset: number;
  /** Share by which it reads high. */
  readonly scale: number;
  /** The wires of a 4-20 mA loop: broken, or shorted past the transmitter. */
  readonly loop: 'closed' | 'open' | 'short';
  /** Added to the current, mA: moisture in a terminal, a tired supply. */
  readonly driftMilliamps: number;
}

export interface Sensor {
  readonly build: SensorBuild;
  readonly bias: number;
  readonly random: Random;
  /** The value as the lagging element holds it; undefined before the first sample. */
  held: number | undefined;
  said: number;
}

export function createSensor(build: SensorBuild, seed: number, name: string): Sensor {
  const random = createRandom(seed, `sensor ${name}`);
  return { build, bias: build.bias * random.normal(), random, held: undefined, said: 0 };
}

/** What the sensor reports of a true value, `since` seconds after its last sample; through a faulty loop what a simple input card makes of it. */
export function readSensor(sensor: Sensor, truth: number, since: number, fault: SensorFault | undefined): number {
  const { build } = sensor;
  const [low, high] = build.range;
  const raw = sample(sensor, truth, since, fault);
  if (fault?.stuck) return sensor.said;
  const inRange = raw < low ? low : raw > high ? high : raw;
  const isLoopWell = fault === undefined || (fault.loop === 'closed' && fault.driftMilliamps === 0);
  sensor.said = toGrid(isLoopWell ? inRange : low + ((toMilliamps(build, inRange, fault) - 4) / 16) * (high - low), build.resolution);
  return sensor.said;
}

/** The current of a 4-20 mA transmitter, mA, to a thousandth. It saturates at 3.8 and 20.5 mA (NAMUR NE 43). */
export function currentOf(sensor: Sensor, truth: number, since: number, fault: SensorFault | undefined): number {
  const { build } = sensor;
  const [low, high] = build.range;
  const raw = sample(sensor, truth, since, fault);
  if (fault?.stuck) return sensor.said;
  const gridded = toGrid(raw, build.resolution);
  const span = high - low;
  const saturated = Math.min(low + (16.5 / 16) * span, Math.max(low - (0.2 / 16) * span, gridded));
  sensor.said = Math.round(1000 * toMilliamps(build, saturated, fault)) / 1000;
  return sensor.said;
}

const OPEN_MA = 0;
const SHORT_MA = 22;

function toMilliamps({ range: [low, high] }: SensorBuild, value: number, fault: SensorFault | undefined): number {
  if (fault?.loop === 'open') return OPEN_MA;
  if (fault?.loop === 'short') return SHORT_MA;
  return 4 + (16 * (value - low)) / (high - low) + (fault?.driftMilliamps ?? 0);
}

/** The lagging, noisy element itself. */
function sample(sensor: Sensor, truth: number, since: number, fault: SensorFault | undefined): number {
  const { build } = sensor;
  sensor.held = sensor.held === undefined || build.lag === 0 ? truth : sensor.held + (truth - sensor.held) * (1 - Math.exp(-since / build.lag));
  const noise = build.noise === 0 ? 0 : build.noise * sensor.random.normal();
  return (sensor.held + sensor.bias + noise) * (1 + (fault?.scale ?? 0)) + (fault?.offset ?? 0);
}

/** Rounds to the sensor's grid, without the tail that binary fractions leave. */
function toGrid(value: number, resolution: number): number {
  const perStep = Math.round(1 / resolution);
  // Adding 0 turns a −0 into 0, which is how a display shows it.
  return resolution < 1 ? Math.round(value * perStep) / perStep + 0 : Math.round(value / resolution) * resolution + 0;
}
