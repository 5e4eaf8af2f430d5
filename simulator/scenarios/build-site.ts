import type { Dimension } from '../../domain/quantity/unit.ts';
import { parseQuantity } from '../../domain/quantity/parse-quantity.ts';
import { type Random, createRandom } from '../random.ts';
import { CFM } from '../rig/air.ts';
import type { Hose } from '../rig/hose.ts';
import type { RigBuild } from '../rig/rig-line.ts';
import type { AirSupplyBuild, SiteBuild } from '../rig/site-plant.ts';
import type { RigPlate, RigSheet, Scenario } from './scenario.ts';

/** A compressor's plate is written for two rigs; more rigs bring more compressors. */
export const RIGS_A_COMPRESSOR = 2;

/** `rig-a`, `rig-b`, … and after `rig-z` `rig-27`. */
export function rigId(index: number): `rig-${string}` {
  return `rig-${index < 26 ? String.fromCharCode(97 + index) : String(index + 1)}`;
}

/** `Rig A`, `Rig B`, … */
export function rigName(id: `rig-${string}`): string {
  return `Rig ${id.slice(4).toUpperCase()}`;
}

/** A rig's sheet with its own differences. */
export function rigSheet(scenario: Scenario, id: `rig-${string}`): RigSheet {
  return { ...scenario.rig, ...scenario.rigs?.[id] };
}

/** The scenario on rigs with these plates; where it makes one rig differ, that stays. */
export function withPlates(scenario: Scenario, plates: readonly RigPlate[]): Scenario {
  if (plates.length === 0) return scenario;
  const rigs = Object.fromEntries(plates.map((plate, i) => [rigId(i), { ...plate, ...scenario.rigs?.[rigId(i)] }]));
  return { ...scenario, rigs: { ...scenario.rigs, ...rigs } };
}

function si(text: string, dimension: Dimension): number {
  return parseQuantity(text, dimension).si;
}

/**
 * The site as it really is: the sheet, with what no sheet says drawn by seed. Hoses are rougher or smoother, nozzles
 * flow up to a tenth more or less, machines give a little less than their plate.
 */
export function buildSite(scenario: Scenario, seed: number, rigs: number): SiteBuild {
  const { weather, site } = scenario;
  const supplies: AirSupplyBuild[] = [];
  for (let first = 0; first < rigs; first += RIGS_A_COMPRESSOR) {
    const id = `comp-${supplies.length + 1}`;
    const ids = Array.from({ length: Math.min(RIGS_A_COMPRESSOR, rigs - first) }, (_, i) => rigId(first + i));
    supplies.push(buildSupply(scenario, id, ids, seed));
  }
  return { weather: { ...weather, elevation: si(site.elevation, 'length') }, supplies };
}

function buildSupply(scenario: Scenario, id: string, rigs: readonly `rig-${string}`[], seed: number): AirSupplyBuild {
  const sheet = scenario.compressor;
  const random = createRandom(seed, `build ${id}`);
  return {
    id,
    compressor: {
      capacity: si(sheet.ratedFlow, 'volume-flow') * random.between(0.95, 1.01),
      setPressure: si(sheet.setPressure, 'pressure'),
      band: si(sheet.band, 'pressure'),
      sumpVolume: si(sheet.sump, 'volume'),
      receiverVolume: si(sheet.sump, 'volume') + si(sheet.receiver, 'volume'),
    },
    intake: { bearing: parseQuantity(sheet.intakeBearing, 'angle').value, plumePpm: 35 },
    rigs: rigs.map((rig) => buildRig(scenario, rig, seed)),
  };
}

/** Bulk density of a mineral abrasive as poured and of its grains, kg/m³. */
const BULK_DENSITY = 1550;
const GRAIN_DENSITY = 2700;

function buildRig(scenario: Scenario, id: `rig-${string}`, seed: number): RigBuild {
  const sheet = rigSheet(scenario, id);
  const random = createRandom(seed, `build ${id}`);
  const volume = si(sheet.vessel.volume, 'volume');
  return {
    id,
    supply: buildHose(sheet.supplyHose, 8, random),
    blastHose: buildHose(sheet.blastHose, 5, random),
    roughness: random.between(0.85, 1.15),
    pot: {
      volume,
      fullKg: 0.9 * volume * BULK_DENSITY,
      grainDensity: GRAIN_DENSITY,
      inletArea: 3.4e-4 * random.between(0.9, 1.1),
      ventArea: 4.2e-4 * random.between(0.9, 1.1),
      trimmedKgPerS: si(sheet.abrasive, 'mass-flow') * random.between(0.9, 1.1),
      controlDeadTime: random.between(0.25, 0.6),
    },
    nozzle: { bore: si(sheet.nozzle, 'length'), dischargeCoefficient: 0.79 * random.between(0.9, 1.1), wearPerKg: 1.1e-8 * random.between(0.7, 1.4) },
    breathing: { regulator: si(sheet.breathing, 'pressure'), hoodFlow: 15 * CFM * 1.2 * random.between(0.9, 1.2), catalyst: sheet.catalyst },
    steel: { ...scenario.weather.steel, lag: scenario.weather.steel.lagH * 3600 },
    work: sheet.work,
    fill: random.between(0.85, 1),
  };
}

function buildHose(sheet: { bore: string; length: string }, fittings: number, random: Random): Hose {
  return { bore: si(sheet.bore, 'length'), length: si(sheet.length, 'length'), fittings: fittings * random.between(0.8, 1.2) };
}
