import { type Random, createRandom } from '../random.ts';
import { ZERO_CELSIUS } from './air.ts';
import { type AirNode, createNode, settlePressure, stepAirNetwork } from './air-network.ts';
import { type IntakeBuild, intakeCarbonMonoxide, windOfThePlume } from './carbon-monoxide.ts';
import { type Compressor, type CompressorBuild, createCompressor, stepCompressor } from './compressor.ts';
import type { CompressorEffects, RigEffects, SiteEffects } from './effects.ts';
import { type RigBuild, type RigLine, createRigLine, evaluateFlows, stepHands, stepSlow } from './rig-line.ts';
import { type Weather, type WeatherBuild, createWeather, hourOfDay, stepWeather } from './weather.ts';

/** One compressor with the rigs it serves. */
export interface AirSupplyBuild {
  readonly id: string;
  readonly compressor: CompressorBuild;
  readonly intake: IntakeBuild;
  readonly rigs: readonly RigBuild[];
}

/** A whole site as it really is. */
export interface SiteBuild {
  readonly weather: WeatherBuild;
  readonly supplies: readonly AirSupplyBuild[];
}

export interface AirSupply {
  readonly build: AirSupplyBuild;
  readonly compressor: Compressor;
  readonly receiver: AirNode;
  readonly rigs: readonly RigLine[];
  /** Receiver first, then three volumes a rig. */
  readonly nodes: readonly AirNode[];
  /** Air taken in and let out since the start, kg. */
  readonly air: { in: number; out: number };
  /** Carbon monoxide in the sump, ppm. */
  sumpCo: number;
}

export interface SitePlant {
  readonly weather: Weather;
  readonly supplies: readonly AirSupply[];
  /** Seconds since the start. */
  seconds: number;
  readonly random: { weather: Random; hands: Random; mix: Random };
}

/** What the scenario does at this moment, by id. */
export interface PlantEffects {
  readonly site: SiteEffects;
  compressor(id: string): CompressorEffects;
  rig(id: string): RigEffects;
}

export function createSitePlant(build: SiteBuild, seed: number): SitePlant {
  const random = { weather: createRandom(seed, 'weather'), hands: createRandom(seed, 'hands'), mix: createRandom(seed, 'mix') };
  const weather = createWeather(build.weather);
  const supplies = build.supplies.map((supply) => createAirSupply(supply, weather, random.hands));
  return { weather, supplies, seconds: 0, random };
}

function createAirSupply(build: AirSupplyBuild, weather: Weather, random: Random): AirSupply {
  const { compressor } = build;
  // The morning starts with the receiver charged and the inlet nearly shut.
  const pressure = weather.atmosphere + compressor.setPressure + 0.9 * compressor.band;
  const rigs = build.rigs.map((rig, i) => createRigLine(rig, 1 + 3 * i, pressure, weather, random));
  const draws = rigs.map((rig) => rig.breathingDraw);
  const receiver = createNode(-1, draws, compressor.receiverVolume, weather.temperature + 10 + ZERO_CELSIUS, pressure);
  const nodes = [receiver, ...rigs.flatMap((rig) => [rig.inlet, rig.vessel, rig.nozzle])];
  return { build, compressor: createCompressor(compressor, weather.temperature), receiver, rigs, nodes, air: { in: 0, out: 0 }, sumpCo: weather.backgroundCo };
}

/** Pressures need short steps; weather, temperatures and gases follow once in this many of them. */
const SLOW_EVERY = 8;

/** Moves the whole site on by one step of `dt` s; `step` counts them from 0. */
export function stepSitePlant(plant: SitePlant, effects: PlantEffects, step: number, dt: number): void {
  plant.seconds += dt;
  const isSlowStep = step % SLOW_EVERY === 0;
  const first = plant.supplies[0];
  if (isSlowStep && first) stepWeather(plant.weather, plant.seconds, effects.site, windOfThePlume(first.build.intake), plant.random.weather, SLOW_EVERY * dt);
  for (const supply of plant.supplies) {
    stepPressures(plant, supply, effects, dt);
    if (isSlowStep) stepAirQuality(plant, supply, effects, SLOW_EVERY * dt);
  }
}

function stepPressures(plant: SitePlant, supply: AirSupply, effects: PlantEffects, dt: number): void {
  const { weather, random } = plant;
  const { receiver, compressor } = supply;
  const hour = hourOfDay(weather, plant.seconds);
  for (const rig of supply.rigs) stepHands(rig, weather, hour, effects.rig(rig.build.id), random.hands, dt);
  for (const node of supply.nodes) settlePressure(node);
  const air = { atmosphere: weather.atmosphere, ambient: weather.temperature };
  stepCompressor(compressor, receiver.pressure - weather.atmosphere, air, effects.compressor(supply.build.id), dt);
  receiver.supplyKgPerS = compressor.flowKgPerS;
  for (const rig of supply.rigs) evaluateFlows(rig, receiver, weather, effects.rig(rig.build.id));
  stepAirNetwork(supply.nodes, dt);
  supply.air.in += receiver.supplyKgPerS * dt;
  for (const node of supply.nodes) for (const outlet of node.outlets) supply.air.out += outlet.kgPerS * dt;
}

function stepAirQuality(plant: SitePlant, supply: AirSupply, effects: PlantEffects, dt: number): void {
  const { weather } = plant;
  const { compressor, receiver } = supply;
  receiver.temperature = compressor.delivery + ZERO_CELSIUS;
  const sumpKg = (receiver.massKg * compressor.build.sumpVolume) / receiver.volume;
  const drawn = intakeCarbonMonoxide(supply.build.intake, { from: weather.windFrom, speed: weather.windSpeed }, weather.backgroundCo, compressor.airEnd);
  supply.sumpCo += (drawn - supply.sumpCo) * (1 - Math.exp((-compressor.flowKgPerS * dt) / sumpKg));
  for (const rig of supply.rigs) stepSlow(rig, supply, weather, effects.rig(rig.build.id), plant.random.mix, dt);
}
