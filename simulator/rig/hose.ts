import { FREE_AIR_DENSITY } from './air.ts';
import type { Flow } from './air-network.ts';

/** A length of hose or pipe, as it lies. */
export interface Hose {
  /** m */
  readonly bore: number;
  /** m, straight */
  readonly length: number;
  /** Length added for couplings and bends, m. */
  readonly fittings: number;
}

export function hoseVolume(hose: Hose): number {
  return (Math.PI / 4) * hose.bore ** 2 * hose.length;
}

const EXPONENT = 1.85;
/** Difference of squared pressures below which flow is taken as linear, bar² (about 0.02 psi at line pressure). */
const LINEAR_BELOW = 0.02;

/**
 * Resistance in p₁² − p₂² = R·q^1.85, with p in bar absolute and q in litres of free air a second: the compressed-air
 * trade's power law (450·q^1.85·L/(d⁵·p), d in mm), which is deliberately not a friction-factor law.
 */
export function hoseResistance(hose: Hose): number {
  return (900 * (hose.length + hose.fittings)) / (hose.bore * 1000) ** 5;
}

/** Air through a resistance of that kind; pressures Pa absolute. Works in both directions. */
export function hoseFlow(out: Flow, upstream: number, downstream: number, resistance: number): void {
  const p1 = upstream / 1e5;
  const p2 = downstream / 1e5;
  const drop = p1 * p1 - p2 * p2;
  const size = Math.abs(drop);
  const x = size < LINEAR_BELOW ? LINEAR_BELOW : size;
  const flow = 1e-3 * FREE_AIR_DENSITY * (x / resistance) ** (1 / EXPONENT);
  const perDrop = size < LINEAR_BELOW ? flow / LINEAR_BELOW : flow / (EXPONENT * size);
  out.kgPerS = size < LINEAR_BELOW ? perDrop * drop : Math.sign(drop) * flow;
  out.perUpstream = (perDrop * 2 * p1) / 1e5;
  out.perDownstream = -(perDrop * 2 * p2) / 1e5;
}
