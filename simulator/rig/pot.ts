import { PSI, approach, clamp } from './air.ts';
import type { RigEffects } from './effects.ts';

/** A pressure-release blast machine: the pot is under pressure only while the handle is held. */
export interface PotBuild {
  /** m³ */
  readonly volume: number;
  /** Abrasive when full, kg. */
  readonly fullKg: number;
  /** Density of the grains themselves, kg/m³. */
  readonly grainDensity: number;
  /** Effective areas of the inlet valve and the blow-down outlet, m². */
  readonly inletArea: number;
  readonly ventArea: number;
  /** Abrasive at 100 psi with the metering valve trimmed, kg/s. */
  readonly trimmedKgPerS: number;
  /** Dead time and lag of the control line between handle and valves, s. */
  readonly controlDeadTime: number;
}

export interface Pot {
  readonly build: PotBuild;
  abrasiveKg: number;
  /** Openings, 0 to 1. */
  inletOpen: number;
  ventOpen: number;
  /** How long the handle has been where it is, s. */
  handleForS: number;
  held: boolean;
  /** Abrasive into the blast hose, kg/s. */
  abrasiveKgPerS: number;
  /** Slow wandering of the mix about its trim, as a factor. */
  mix: number;
  /** kg since the start. */
  readonly abrasive: { poured: number; blasted: number };
}

export function createPot(build: PotBuild, fill: number): Pot {
  const abrasiveKg = build.fullKg * fill;
  return { build, abrasiveKg, inletOpen: 0, ventOpen: 1, handleForS: 60, held: false, abrasiveKgPerS: 0, mix: 1, abrasive: { poured: 0, blasted: 0 } };
}

/** Room left for air, m³: the pot less the grains, plus the pusher line. */
export function potAirVolume(pot: Pot, pipingVolume: number): number {
  return pot.build.volume - pot.abrasiveKg / pot.build.grainDensity + pipingVolume;
}

/** Pressure across the metering valve never matters much; what pushes the abrasive is the air above it. */
const REFERENCE = 100 * PSI;
/** The last few kilograms run out unevenly: flow fades below this share of a full pot. */
const RUNS_OUT_BELOW = 0.02;

/** Moves the valves after the handle and the abrasive after the pressure. */
export function stepPot(pot: Pot, held: boolean, potGauge: number, effects: RigEffects, dt: number): void {
  pot.handleForS = held === pot.held ? pot.handleForS + dt : dt;
  pot.held = held;
  const obeyed = pot.handleForS >= pot.build.controlDeadTime + effects.controlLineSlowS;
  if (obeyed) {
    pot.inletOpen = approach(pot.inletOpen, held ? 1 : 0, dt, held ? 0.9 : 0.2);
    pot.ventOpen = approach(pot.ventOpen, held ? effects.sealingValveStuck : 1, dt, held ? 0.25 : 0.3);
  }
  const push = clamp(potGauge / REFERENCE, 0, 2);
  const left = clamp(pot.abrasiveKg / (RUNS_OUT_BELOW * pot.build.fullKg), 0, 1);
  const wanted = pot.inletOpen > 0.5 ? pot.build.trimmedKgPerS * pot.mix * (1 + effects.richMix) * push * left : 0;
  pot.abrasiveKgPerS = approach(pot.abrasiveKgPerS, wanted, dt, 1.5);
  const out = Math.min(pot.abrasiveKgPerS * dt, pot.abrasiveKg);
  pot.abrasiveKg -= out;
  pot.abrasive.blasted += out;
}

/** Pours abrasive in through the hatch, up to full, at `kgPerS`; only into a pot without pressure. */
export function pourAbrasive(pot: Pot, kgPerS: number, potGauge: number, dt: number): void {
  if (potGauge > 2 * PSI) return;
  const poured = Math.min(kgPerS * dt, pot.build.fullKg - pot.abrasiveKg);
  pot.abrasiveKg += poured;
  pot.abrasive.poured += poured;
}
