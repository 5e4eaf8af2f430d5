import { type GaugePressure, type AbsolutePressure, STANDARD_ATMOSPHERE, atmosphereAt, gauge, toAbsolute } from '../../quantity/pressure.ts';
import type { Interval } from '../../quantity/propagate.ts';
import { abrasiveLoading } from '../abrasive-loading.ts';
import { compressorLoad } from '../compressor-load.ts';
import { condensate } from '../condensate.ts';
import { lineProfile } from '../line-profile.ts';
import { type Line, type Outlet, type SolvedLine, solveLine } from '../line.ts';
import { type Range, abrasiveRate } from '../pot-endurance.ts';
import { productionFactor } from '../production.ts';
import { STANDARD_AIR_DENSITY, USUAL_TEMPERATURE, massFlowOf } from '../standard-air.ts';
import type { SetUp } from './set-up.ts';

const PSI = 6894.757293168361;
/** At what a separator's loss is given: 500 cfm of standard air at 100 psi. */
export const SEPARATOR_AT = { massFlow: ((500 * 0.3048 ** 3) / 60) * STANDARD_AIR_DENSITY, pressure: gauge(100 * PSI) };
/** At the nozzle, what counts as all of the work. */
const REFERENCE = gauge(100 * PSI);

/** Where pressure stands along the line of the first rig. */
export interface SizedPlace {
  readonly id: 'compressor' | 'separator' | 'machine' | 'nozzle';
  readonly pressure: GaugePressure;
}

/** What a set-up gives. SI: Pa gauge, kg/s. */
export interface Sized {
  /** At the first rig's nozzle, with 95 % limits before any baseline of the rig. */
  readonly nozzle: Interval;
  readonly places: readonly SizedPlace[];
  /** The compressor can't give what is asked: its pressure falls until it can. */
  readonly sags: boolean;
  /** Of the first nozzle. */
  readonly nozzleAir: number;
  /** Of all nozzles and hoods, as it comes out. */
  readonly air: number;
  /** Of all nozzles. */
  readonly abrasive: Range;
  /** What would be drawn at full pressure over what the compressor gives here; above 1 it sags. */
  readonly load: number;
  readonly hasAdvisedReserve: boolean;
  /** Water to drain, kg/s. */
  readonly water: number;
  /** Of the first nozzle against 100 psi, by the rule of thumb. */
  readonly work: number;
}

/** What the compressor gives at this height and temperature, kg/s: its plate is a volume of air taken in, and thinner air weighs less. */
export function ratedMassFlow({ ratedFlow, elevation, temperature }: Pick<SetUp, 'ratedFlow' | 'elevation' | 'temperature'>): number {
  return massFlowOf(ratedFlow) * (atmosphereAt(elevation) / STANDARD_ATMOSPHERE) * (USUAL_TEMPERATURE / temperature);
}

function outletOf(setUp: SetUp, index: number): Outlet {
  const bore = index === 0 ? setUp.nozzleBore : setUp.otherBore;
  return {
    name: `rig ${index + 1}`,
    segments: [
      { kind: 'hose', name: 'supply hose', bore: setUp.supplyBore, length: setUp.supplyLength },
      { kind: 'element', name: 'separator', loss: setUp.separatorLoss, massFlow: SEPARATOR_AT.massFlow, pressure: toAbsolute(SEPARATOR_AT.pressure, STANDARD_ATMOSPHERE) },
      { kind: 'hose', name: 'blast hose', bore: setUp.blastBore, length: setUp.blastLength, loading: abrasiveLoading() },
    ],
    nozzle: { bore },
  };
}

/** The line of a set-up, for the solver. The air in the line has what it is cooled to. */
export function lineOf(setUp: SetUp): Line {
  return {
    supply: gauge(setUp.pressure),
    atmosphere: atmosphereAt(setUp.elevation),
    temperature: setUp.cooledTo,
    shared: [],
    outlets: Array.from({ length: setUp.rigs }, (_, index) => outletOf(setUp, index)),
    takenOff: massFlowOf(setUp.breathingAir) * setUp.rigs,
  };
}

/** Nozzle pressure and load alone: what curves are made of. @throws RangeError as `solveLine`. */
export function sizeRoughly(setUp: SetUp): { readonly nozzle: GaugePressure; readonly load: number } {
  const line = lineOf(setUp);
  const rated = ratedMassFlow(setUp);
  const full = solveLine(line);
  const solved = full.massFlow <= rated ? full : solveLine({ ...line, ratedFlow: rated });
  return { nozzle: firstNozzle(solved), load: full.massFlow / rated };
}

function firstNozzle({ outlets, supply }: SolvedLine): GaugePressure {
  return outlets[0]?.nozzlePressure ?? supply;
}

/**
 * What a set-up gives: the whole line solved, with what is unknown before a rig has a baseline.
 * @throws RangeError for what can't be, e.g. breathing air alone beyond the compressor.
 */
export function sizeLine(setUp: SetUp): Sized {
  const line = lineOf(setUp);
  const rated = ratedMassFlow(setUp);
  const { load, hasAdvisedReserve } = compressorLoad(rated, [solveLine(line).massFlow]);
  const { solved, outlets } = lineProfile({ ...line, ratedFlow: rated });
  const first = solved.outlets[0];
  const error = outlets[0]?.places.at(-1)?.standardError ?? 0;
  const value = firstNozzle(solved);
  const [supplyHose, separator] = first?.segments ?? [];
  const rates = solved.outlets.map(({ massFlow }) => abrasiveRate(massFlow));
  return {
    nozzle: { value, low: Math.max(0, value - 1.96 * error), high: value + 1.96 * error },
    places: [
      { id: 'compressor', pressure: solved.supply },
      { id: 'separator', pressure: supplyHose?.outlet ?? solved.supply },
      { id: 'machine', pressure: separator?.outlet ?? solved.supply },
      { id: 'nozzle', pressure: value },
    ],
    sags: solved.sags,
    nozzleAir: first?.massFlow ?? 0,
    air: solved.massFlow,
    abrasive: { low: sum(rates.map(({ low }) => low)), high: sum(rates.map(({ high }) => high)) },
    load,
    hasAdvisedReserve,
    water: waterOf(setUp, solved.massFlow, line.atmosphere),
    work: productionFactor(gauge(Math.max(0, value)), REFERENCE),
  };
}

function waterOf({ temperature, humidity, pressure, cooledTo }: SetUp, airFlow: number, atmosphere: AbsolutePressure): number {
  return condensate({ airFlow, temperature, relativeHumidity: humidity, atmosphere, line: gauge(pressure), cooledTo }).separated;
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, one) => total + one, 0);
}
