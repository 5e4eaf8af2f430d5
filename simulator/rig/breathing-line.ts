import { PSI, approach } from './air.ts';

/** The panel that cleans and regulates one blaster's breathing air. */
export interface BreathingBuild {
  /** Regulator setting with the hood flowing, gauge, Pa. */
  readonly regulator: number;
  /** Air to the hood, kg/s. */
  readonly hoodFlow: number;
  /** Share of carbon monoxide the element's catalyst takes out when fresh; 0 where there is none. */
  readonly catalyst: number;
}

export interface BreathingLine {
  readonly build: BreathingBuild;
  /** Pressure after the regulator, gauge, Pa. */
  pressure: number;
  /** °C */
  temperature: number;
  /** Carbon monoxide after the filter, ppm. */
  co: number;
  /** Drawn from the line, kg/s. */
  flowKgPerS: number;
}

export function createBreathingLine(build: BreathingBuild, ambient: number, co: number): BreathingLine {
  return { build, pressure: build.regulator, temperature: ambient + 2, co: co * (1 - build.catalyst), flowKgPerS: 0 };
}

/** A regulator needs some pressure to work with; below that it passes on what is there. */
const REGULATOR_NEEDS = 4 * PSI;
/** With the hood shut the setting creeps up. */
const LOCK_UP = 2.5 * PSI;

interface BreathingSupply {
  /** At the panel's inlet, gauge, Pa. */
  readonly gauge: number;
  /** Air in the line, °C and ppm. */
  readonly temperature: number;
  readonly co: number;
  readonly ambient: number;
  readonly hooded: boolean;
  readonly regulatorPsi: number;
  readonly catalystSpent: number;
}

/** Regulates, filters and delays: the air in panel and hose is a few seconds old. */
export function stepBreathingLine(line: BreathingLine, supply: BreathingSupply, dt: number): void {
  const { build } = line;
  const setting = build.regulator + supply.regulatorPsi * PSI + (supply.hooded ? 0 : LOCK_UP);
  // Supply falling by 10 lets the outlet of a simple regulator rise by a little: its valve is unbalanced.
  const regulated = setting + 0.012 * (105 * PSI - supply.gauge);
  const available = Math.max(supply.gauge - (supply.hooded ? REGULATOR_NEEDS : 0), 0);
  line.pressure = approach(line.pressure, Math.min(regulated, available), dt, 0.8);
  line.flowKgPerS = supply.hooded ? build.hoodFlow * Math.min(line.pressure / build.regulator, 1.15) : 0;
  line.co = approach(line.co, supply.co * (1 - build.catalyst * (1 - Math.min(supply.catalystSpent, 1))), dt, supply.hooded ? 4 : 25);
  line.temperature = approach(line.temperature, supply.ambient + 0.25 * (supply.temperature - supply.ambient), dt, 60);
}
