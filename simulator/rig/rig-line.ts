import type { Random } from '../random.ts';
import { PSI, ZERO_CELSIUS, approach } from './air.ts';
import { type AirNode, type Flow, createFlow, createNode } from './air-network.ts';
import { type Blaster, type WorkHabits, createBlaster, stepBlaster } from './blaster.ts';
import { type BreathingBuild, type BreathingLine, createBreathingLine, stepBreathingLine } from './breathing-line.ts';
import type { Compressor } from './compressor.ts';
import type { RigEffects } from './effects.ts';
import { type Hose, hoseFlow, hoseResistance, hoseVolume } from './hose.ts';
import { NOZZLE_CRITICAL_RATIO, type NozzleBuild, nozzleArea, wornBore } from './nozzle.ts';
import { orificeFlow, shutFlow } from './orifice.ts';
import { type Pot, type PotBuild, createPot, potAirVolume, pourAbrasive, stepPot } from './pot.ts';
import { type Moisture, SEPARATOR_AS_HOSE, createMoisture, stepMoisture } from './separator.ts';
import { type SteelBuild, stepSteel } from './steel.ts';
import type { Weather } from './weather.ts';

/** One blast machine with its hoses, nozzle, panel and person, as it really is. */
export interface RigBuild {
  readonly id: string;
  readonly supply: Hose;
  readonly blastHose: Hose;
  /** Rubber is rougher or smoother than the law says, as a factor. */
  readonly roughness: number;
  readonly pot: PotBuild;
  readonly nozzle: NozzleBuild;
  readonly breathing: BreathingBuild;
  readonly steel: SteelBuild;
  readonly work: WorkHabits;
  /** Share of abrasive in the pot at the start. */
  readonly fill: number;
}

export interface RigLine {
  readonly build: RigBuild;
  /** Air in separator and inlet piping, in the pot, and in the blast hose. */
  readonly inlet: AirNode;
  readonly vessel: AirNode;
  readonly nozzle: AirNode;
  readonly leak: Flow;
  /** The panel has a hose of its own from the receiver, so its air is seconds old. */
  readonly breathingDraw: Flow;
  readonly vent: Flow;
  readonly jet: Flow;
  readonly pot: Pot;
  readonly blaster: Blaster;
  readonly breathing: BreathingLine;
  readonly moisture: Moisture;
  /** °C */
  steel: number;
  /** Bore now, m. */
  bore: number;
  /** Resistances in good order, as of `hoseResistance`. */
  readonly supplyResistance: number;
  readonly blastResistance: number;
}

/** Separator body and pipework ahead of the pot's inlet valve, m³. */
const INLET_VOLUME = 0.03;
/** Pusher line and the pipework under the pot, m³. */
const PIPING_VOLUME = 0.006;

/** A rig fed by the receiver at index 0; `first` is the index its nodes begin at. */
export function createRigLine(build: RigBuild, first: number, receiverPressure: number, weather: Weather, random: Random): RigLine {
  const leak = createFlow();
  const breathingDraw = createFlow();
  const vent = createFlow();
  const jet = createFlow();
  const kelvin = weather.temperature + ZERO_CELSIUS;
  const hose = hoseVolume(build.blastHose);
  const pot = createPot(build.pot, build.fill);
  return {
    build,
    inlet: createNode(0, [leak], INLET_VOLUME + hoseVolume(build.supply), kelvin, receiverPressure),
    vessel: createNode(first, [vent], potAirVolume(pot, PIPING_VOLUME + hose / 2), kelvin, weather.atmosphere),
    nozzle: createNode(first + 1, [jet], hose / 2, kelvin, weather.atmosphere),
    leak, breathingDraw, vent, jet, pot,
    blaster: createBlaster(build.work, random),
    breathing: createBreathingLine(build.breathing, weather.temperature, weather.backgroundCo),
    moisture: createMoisture(weather.temperature),
    steel: weather.temperature + build.steel.startsAbove,
    bore: build.nozzle.bore,
    supplyResistance: build.roughness * hoseResistance({ ...build.supply, fittings: build.supply.fittings + SEPARATOR_AS_HOSE }),
    blastResistance: build.roughness * hoseResistance(build.blastHose),
  };
}

/** People, valves and abrasive for the next `dt` s. */
export function stepHands(rig: RigLine, weather: Weather, hour: number, effects: RigEffects, random: Random, dt: number): void {
  const { pot, build, blaster } = rig;
  const potGauge = rig.vessel.pressure - weather.atmosphere;
  const fill = pot.abrasiveKg / build.pot.fullKg;
  stepBlaster(blaster, build.work, { fill, hour, effects }, random, dt);
  if (blaster.phase === 'refilling' && effects.noRefill === 0) pourAbrasive(pot, build.pot.fullKg / 90, potGauge, dt);
  stepPot(pot, blaster.held, potGauge, effects, dt);
  rig.vessel.volume = potAirVolume(pot, PIPING_VOLUME + rig.nozzle.volume);
}

/** Evaluates every flow of the rig at the pressures as they stand. */
export function evaluateFlows(rig: RigLine, receiver: AirNode, weather: Weather, effects: RigEffects): void {
  const { build, pot, inlet, vessel, nozzle } = rig;
  const { atmosphere } = weather;
  const kelvin = inlet.temperature;
  const open = 1 - Math.min(effects.supplyShut, 1);
  if (open < 0.01) shutFlow(inlet.inlet);
  else hoseFlow(inlet.inlet, receiver.pressure, inlet.pressure, (rig.supplyResistance * (1 + effects.supplyRestriction)) / open ** 2);
  const leakArea = 0.65 * (Math.PI / 4) * (effects.supplyLeakMm / 1000) ** 2;
  orificeFlow(rig.leak, inlet.pressure, atmosphere, leakArea, kelvin, 0.5);
  rig.breathingDraw.kgPerS = rig.breathing.flowKgPerS;
  orificeFlow(vessel.inlet, inlet.pressure, vessel.pressure, build.pot.inletArea * pot.inletOpen, kelvin, 0.3);
  orificeFlow(rig.vent, vessel.pressure, atmosphere, build.pot.ventArea * pot.ventOpen * (1 - Math.min(effects.ventBlocked, 1)), kelvin, 0.4);
  const loading = pot.abrasiveKgPerS / Math.max(rig.jet.kgPerS, 0.02);
  const blastResistance = rig.blastResistance * (1 + 0.7 * loading) * (1 + effects.hoseKink);
  hoseFlow(nozzle.inlet, vessel.pressure, nozzle.pressure, blastResistance);
  orificeFlow(rig.jet, nozzle.pressure, atmosphere, nozzleArea(build.nozzle, rig.bore, loading), kelvin, NOZZLE_CRITICAL_RATIO);
}

/** What follows more slowly: air quality, temperatures, wear, the mix. */
export function stepSlow(rig: RigLine, air: { compressor: Compressor; receiver: AirNode; sumpCo: number }, weather: Weather, effects: RigEffects, random: Random, dt: number): void {
  const { inlet, pot, build } = rig;
  stepMoisture(rig.moisture, {
    ambient: weather.temperature, vapour: weather.vapour, atmosphere: weather.atmosphere, delivery: air.compressor.delivery,
    pressure: inlet.pressure, flowKgPerS: inlet.inlet.kgPerS, carryover: effects.separatorCarryover, supply: build.supply,
  }, dt);
  stepBreathingLine(rig.breathing, {
    gauge: air.receiver.pressure - weather.atmosphere, temperature: air.compressor.delivery, co: air.sumpCo, ambient: weather.temperature, hooded: rig.blaster.underHood,
    regulatorPsi: effects.breathingRegulatorPsi, catalystSpent: effects.catalystSpent,
  }, dt);
  rig.steel = stepSteel(rig.steel, build.steel, weather, dt);
  rig.bore = wornBore(build.nozzle, pot.abrasive.blasted, effects.nozzleWornMm);
  pot.mix = approach(pot.mix, 1, dt, 300) + 0.05 * Math.sqrt((2 * dt) / 300) * random.normal();
  const kelvin = rig.moisture.temperature + ZERO_CELSIUS;
  inlet.temperature = kelvin;
  rig.vessel.temperature = kelvin;
  rig.nozzle.temperature = kelvin;
}

/** Pressure above the local atmosphere, psi, at one of a rig's places. */
export function gaugePsi(node: AirNode, weather: Weather): number {
  return (node.pressure - weather.atmosphere) / PSI;
}
