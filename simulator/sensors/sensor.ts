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

/** What the sensor reports of a true value, `since` seconds after its last sample. */
export function readSensor(sensor: Sensor, truth: number, since: number, fault: SensorFault | undefined): number {
  const { build } = sensor;
  const [low, high] = build.range;
  sensor.held = sensor.held === undefined || build.lag === 0 ? truth : sensor.held + (truth - sensor.held) * (1 - Math.exp(-since / build.lag));
  const noise = build.noise === 0 ? 0 : build.noise * sensor.random.normal();
  if (fault?.stuck) return sensor.said;
  const raw = (sensor.held + sensor.bias + noise) * (1 + (fault?.scale ?? 0)) + (fault?.offset ?? 0);
  const inRange = raw < low ? low : raw > high ? high : raw;
  sensor.said = toGrid(inRange, build.resolution);
  return sensor.said;
}

/** Rounds to the sensor's grid, without the tail that binary fractions leave. */
function toGrid(value: number, resolution: number): number {
  const perStep = Math.round(1 / resolution);
  // Adding 0 turns a −0 into 0, which is how a display shows it.
  return resolution < 1 ? Math.round(value * perStep) / perStep + 0 : Math.round(value / resolution) * resolution + 0;
}
